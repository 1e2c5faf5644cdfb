# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""A day of mixed cameras through the built program: rates from 23.976 to 120, a phone of variable rate, start labels
on tracks and in the file, slow motion that the camera made. Every list rate shows each hit on its beat; the truth is
where the hits were laid, and what ffprobe tells of the files."""
import json
import os
import subprocess
import sys
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import numpy as np  # noqa: E402

import conform_render  # noqa: E402
import edl_reader  # noqa: E402
import judge_cut  # noqa: E402
import small_day  # noqa: E402
import sound_bank  # noqa: E402
from run_tool import Checks, Tool, Workplace  # noqa: E402

# Name, rate of the pictures, start label. The last one says 25, but was shot at 100.
CLIPS = [("K_01.mov", "24000/1001", "09:59:58:20"), ("K_02.mov", "30000/1001", "01:00:59;28"),
         ("K_03.mkv", "50", "10:00:00:33"), ("K_04.mp4", "phone", None), ("K_05.mp4", "120", None),
         ("K_06.mov", "60000/1001", "00:01:00;04"), ("K_07.mov", "100", "23:59:58:50"), ("K_08.mov", "25", None)]
SLOW = "K_08.mov"
BEATS_S = [index * small_day.BEAT_S for index in range(int(small_day.SONG_S / small_day.BEAT_S))]


def film(folder):
    random = np.random.default_rng(11)
    os.makedirs(folder)
    for name, rate, label in CLIPS:
        bed = sound_bank.surf(random, 3.0, 0.01)
        for instant in small_day.THUMPS_S:
            sound = 0.6 * small_day.thump(random)
            bed[int(instant * sound_bank.RATE):][:len(sound)] += sound
        path = os.path.join(folder, name)
        if rate != "phone":
            sound_bank.write_clip(path, bed, rate, label, size="64x36")
            continue
        # Pictures at (n + 0.35 sin 1.7 n) / 30 s, as a phone's clock wavers; every tenth one lost.
        sound_bank.write_wav(path + ".wav", bed)
        subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-f", "lavfi", "-i", "testsrc2=s=64x36:r=30:d=3", "-i",
                        path + ".wav", "-vf", "select='mod(n\\,10)-7',settb=1/90000,"
                        "setpts='(PTS*TB*30+0.35*sin(PTS*TB*30*1.7))/30/TB'", "-vsync", "vfr", "-enc_time_base",
                        "1/90000", "-video_track_timescale", "90000", "-c:v", "libx264", "-preset", "ultrafast", "-c:a",
                        "aac", path], check=True)
        os.remove(path + ".wav")


def tag(folder):
    path = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(path)
    for index, row in enumerate(sorted(rows, key=lambda row: row["file"])):
        row.update(kind="action", skills="set attack", players=small_day.PLAYERS[index % 4], use="must",
                   size=["wide", "medium", "tight"][index % 3], angle=["eye", "low"][index % 2])
        if row["file"].endswith(SLOW):
            row["capture_fps"] = "100"
    small_day.write_log(path, header, rows)


def cut_at(tool, checks, folder, media, rate, drop):
    that = checks.that
    name = f"{rate}{' drop frame' if drop else ''}"

    def change(job):
        job["delivery"].update(rate=rate, drop_frame=drop, length_s=9.0)
        job.setdefault("variety", {}).update(slow_motion_share_max=0.6)

    small_day.edit_job(os.path.join(folder, "job.json"), change)
    done = tool("cut", "job.json", "--fresh", "--force", cwd=folder)
    if not that(done.returncode == 0, f"{name}: exit {done.returncode}: {done.stdout}{done.stderr}"):
        return
    out = os.path.join(folder, "out", "reel.")
    list_rate = Fraction(rate)
    shots = judge_cut.shots_of(out + "edl", list_rate, lambda clip: media[clip].first_frame(list_rate))
    that({shot.file for shot in shots} == set(media), f"{name}: all clips are shown")
    with open(out + "report.json", encoding="utf-8") as file:
        report = json.load(file)
    beats = judge_cut.on_record(BEATS_S, report["song"], out + "edl", list_rate)
    # Half a record frame, and what the ear is off.
    limit_s = 0.5 / float(list_rate) + 0.005
    errors = judge_cut.errors_s(shots, lambda _: small_day.THUMPS_S, beats, first_mark_only=True)
    worst = max((abs(error) for _, error in errors if error is not None), default=9)
    print(f"-- {name}: {len(errors)} hits, {1000 * worst:.1f} ms off at most")
    that(len(errors) >= 8 and judge_cut.share(errors, limit_s) == 1,
         f"{name}: {[(shot.file, error) for shot, error in errors]}")
    shown = tool("show", "out/reel.edl", "--against", "out/reel.otio", *(["--rate", rate] if "/" not in rate else []),
                 cwd=folder)
    that(shown.returncode == 0, f"{name}: the lists agree and keep the rules: {shown.stdout[-400:]}")

    events = edl_reader.read(out + "edl", list_rate)
    slow = [event for event in events if event.clip == SLOW]
    that(slow and all(event.channel == "V" and event.speed == 1 for event in slow),
         f"{name}: what the camera slowed down runs as it is, and its stretched sound is left out")
    that(any(event.channel == "A2" for event in events), f"{name}: the others lend their sound")
    that(any("its sound is stretched" in line for line in report["warnings"]), f"{name}: a note tells why")


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("mixed-day") as folder:
        film(os.path.join(folder, "footage"))
        small_day.click_track(os.path.join(folder, "song.wav"))
        tool.must("new", "footage", "--music", "song.wav", cwd=folder)
        tag(folder)
        small_day.edit_job(os.path.join(folder, "job.json"), small_day.shorten)
        media = {name: conform_render.Media(os.path.join(folder, "footage", name)) for name, _, _ in CLIPS}
        # Matroska spells its tags in capitals, which the reader there does not look for.
        media["K_03.mkv"].label, media["K_03.mkv"].label_rate = "10:00:00:33", Fraction(50)
        for rate, drop in (("25", False), ("24000/1001", False), ("30000/1001", True), ("60", False)):
            cut_at(tool, checks, folder, media, rate, drop)
        # The same said of the camera, not of the take.
        header, rows = small_day.read_log(os.path.join(folder, "log.csv"))
        for row in rows:
            row.update(capture_fps="", camera="fast" if row["file"].endswith(SLOW) else "other")
        small_day.write_log(os.path.join(folder, "log.csv"), header, rows)
        small_day.edit_job(os.path.join(folder, "job.json"),
                           lambda job: job.update(cameras={"fast": {"capture_fps": 100}}))
        cut_at(tool, checks, folder, media, "50", False)
    checks.finish()


if __name__ == "__main__":
    main()
