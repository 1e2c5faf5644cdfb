# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The song cut to length, by the whole program. The song is made here, so that its beats, its form and every
sample are known; what is written is compared with it, with FFmpeg's resampler and with the lists."""
import json
import os
import subprocess
import sys
import wave
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import jsonschema  # noqa: E402
import numpy as np  # noqa: E402

import clock  # noqa: E402
import edl_reader  # noqa: E402
import form_song  # noqa: E402
import judge_cut  # noqa: E402
import otio_reader  # noqa: E402
import small_day  # noqa: E402
import sound_bank  # noqa: E402
from run_tool import hashes  # noqa: E402
from spoilt_jobs import change_job, run  # noqa: E402

SCHEMA = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "schemas", "report.schema.json")
WAV_HZ = 48000
TRUE_BEATS = form_song.beats()
CLOSE_S = 0.005


def prepare(bench):
    sound_bank.write_wav(os.path.join(bench.good, "form.wav"), form_song.make(), form_song.RATE)
    change_job(bench.good, lambda it: it["song"].update(file="form.wav", licence="made by this test"))
    done = bench.tool("cut", "job.json", "--force", cwd=bench.good)
    bench.checks.that(done.returncode == 0, f"the song with a form: {done.stderr}")


def cut(bench, folder, *options, song=None, **delivery):
    change_job(folder, lambda it: (it["song"].update(song or {}), it["delivery"].update(delivery)))
    done = bench.tool("cut", "job.json", *options, cwd=folder)
    bench.checks.that(done.returncode == 0, f"cut {options} {song} {delivery}: exit {done.returncode}: "
                                            f"{done.stdout}{done.stderr}")
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        return json.load(file), done


def samples_of(path):
    """Every channel of a 24-bit WAV as floats; the file's own head must say 48 kHz and 24 bit."""
    with wave.open(path, "rb") as file:
        assert file.getframerate() == WAV_HZ and file.getsampwidth() == 3, file.getparams()
        raw = np.frombuffer(file.readframes(file.getnframes()), np.uint8).reshape(-1, file.getnchannels(), 3)
    whole = raw[:, :, 0].astype(np.int32) | raw[:, :, 1].astype(np.int32) << 8 | raw[:, :, 2].astype(np.int32) << 16
    return ((whole ^ 0x800000) - 0x800000).T / 2.0 ** 23


def resampled(path):
    """The whole song at 48 kHz by FFmpeg's resampler with a long filter."""
    raw = subprocess.run(["ffmpeg", "-v", "error", "-i", path, "-af",
                          f"aresample={WAV_HZ}:filter_size=256:phase_shift=12:cutoff=0.95", "-f", "f32le", "-"],
                         capture_output=True, check=True).stdout
    return np.frombuffer(raw, "<f4").reshape(-1, 2).T.astype(float)


def below_15_khz(samples):
    """Near the top of the band resamplers differ by design; the ends are left out for the filter's own ringing."""
    spectrum = np.fft.rfft(samples)
    spectrum[:, np.fft.rfftfreq(samples.shape[1], 1 / WAV_HZ) > 15000] = 0
    return np.fft.irfft(spectrum, samples.shape[1])[:, 2000:-2000]


def by_the_samples(bench, folder, report, song="form.wav"):
    that, told = bench.checks.that, report["song"]["cut"]
    rate = Fraction(report["delivery"]["rate"])
    written = samples_of(report["song"]["path"])
    wanted = clock.half_down(Fraction(report["delivery"]["frames"]) * WAV_HZ / rate)
    that(written.shape == (2, wanted) and told["samples"] == wanted,
         f"the song as cut has {written.shape} samples, the record {wanted}")
    whole = resampled(os.path.join(folder, song))
    for index, piece in enumerate(told["pieces"]):
        first, last = round(piece["in_s"] * WAV_HZ), round(piece["out_s"] * WAV_HZ)
        at = round(piece["record_s"] * WAV_HZ)
        skip = int((told["crossfade_s"] / 2 if index else told["fade_in_s"]) * WAV_HZ) + 1
        ends = index + 1 == len(told["pieces"])
        stop = int((told["fade_out_s"] if ends else told["crossfade_s"] / 2) * WAV_HZ) + 1
        ours = written[:, at + skip:at + last - first - stop]
        theirs = whole[:, first + skip:last - stop]
        count = min(ours.shape[1], theirs.shape[1])
        off = np.abs(below_15_khz(ours[:, :count] - theirs[:, :count])).max()
        moved = np.abs(below_15_khz(ours[:, :count - 1] - theirs[:, 1:count])).max()
        print(f"   piece {index + 1}: {count} samples, furthest from FFmpeg's {20 * np.log10(off + 1e-12):.1f} dBFS")
        that(off < 2e-4, f"piece {index + 1} is not the song's samples: off by {off:.6f}")
        that(moved > 20 * off, "the check would pass with the piece a sample off")
    end = round((sum(p["out_s"] - p["in_s"] for p in told["pieces"])) * WAV_HZ)
    that(not written[:, end:].any(), "behind the song there is silence")
    that(np.abs(written[:, end - 48:end]).max() < 0.02 or told["ending"] == "own", "the song does not end with a click")
    return written


def by_the_beats(bench, folder, report, written):
    """The beats of the file, found again in three ways, against the true ones of its pieces."""
    that = bench.checks.that
    edl = os.path.join(folder, "out", "reel.edl")
    rate = Fraction(report["delivery"]["rate"])
    struck_at = judge_cut.on_record(TRUE_BEATS, report["song"], edl, rate)
    # A tracker counts on while the last hit rings.
    carried = [TRUE_BEATS[-1] + k * form_song.BEAT_S for k in range(1, int(form_song.RING_S / form_song.BEAT_S) + 1)]
    true = sorted(struck_at + judge_cut.on_record(carried, report["song"], edl, rate))
    gaps = np.diff(true)
    that(np.abs(gaps - form_song.BEAT_S).max() < CLOSE_S, f"true beats keep their spacing: {gaps.min()} to {gaps.max()}")
    planned = [anchor["beat_record_s"] for shot in report["shots"] for anchor in shot["anchors"]]
    late = np.array([at - judge_cut.nearest(true, at) for at in planned])
    that(len(planned) > 3 and np.abs(late).max() < CLOSE_S, f"beats cut to are off by {1000 * np.abs(late).max():.2f} ms")

    found = bench.tool.must("beats", report["song"]["path"], cwd=folder).stdout.split("\n")
    found = np.array([float(line.split("\t")[0]) for line in found if line])
    heard = np.array([at - judge_cut.nearest(true, at) for at in found])
    that(len(found) >= len(true) - 2 and np.abs(heard).max() < CLOSE_S,
         f"beats found in the song as cut are off by up to {1000 * np.abs(heard).max():.2f} ms ({len(found)})")

    # Each kick by its own waveform: the lag that fits best.
    struck = form_song.kick(WAV_HZ)[:WAV_HZ // 25]
    lags = []
    for at in struck_at:
        begin = round((at - 0.02) * WAV_HZ)
        stretch = written.sum(axis=0)[max(0, begin):begin + WAV_HZ // 25 + len(struck)]
        if begin < 0 or len(stretch) < WAV_HZ // 25 + len(struck) or np.abs(stretch).max() < 0.05:
            continue
        fit = np.correlate(stretch, struck, "valid")
        lags.append(int(np.argmax(fit)) / WAV_HZ - 0.02)
    that(len(lags) > len(struck_at) / 2 and np.abs(lags).max() < CLOSE_S,
         f"kicks lie on the beats: furthest {1000 * np.abs(lags).max():.2f} ms of {len(lags)}")
    print(f"   beats cut to: furthest {1000 * np.abs(late).max():.2f} ms; found again {1000 * np.abs(heard).max():.2f} ms; "
          f"kicks {1000 * np.abs(lags).max():.2f} ms")
    return true


def by_the_lists(bench, folder, report, name):
    that, rate = bench.checks.that, Fraction(report["delivery"]["rate"])
    edl, otio = os.path.join(folder, "out", "reel.edl"), os.path.join(folder, "out", "reel.otio")
    for broken in (edl_reader.breaches(edl, rate), otio_reader.breaches(otio)):
        that(not broken, f"{name}: breaks rules: {broken[:3]}")
    events = edl_reader.read(edl, rate)
    zero = min(event.record_in for event in events)
    song = [event for event in events if event.channel.strip() == "A"]
    that(len(song) == 1 and song[0].clip == name, f"the EDL has one song event, {name}: {[e.clip for e in song]}")
    items = [item for item in otio_reader.read(otio).items if item.clip == name]
    that(len(items) == 1, f"the OTIO has one song event, {name}: {len(items)}")
    that(os.path.samefile(items[0].file, report["song"]["path"]), f"the OTIO links to {items[0].file}")
    that(song[0].record_in == zero and items[0].record_in == 0, "the song begins with the record")
    return song[0], items[0]


def chosen(bench):
    """Where nothing is said, the tool chooses a phrase, keeps the arrival and ends on a border or with the song."""
    that = bench.checks.that
    for delivery in ({"length_s": 16, "rate": "25"}, {"length_s": 13.3, "rate": "30000/1001"}):
        folder = bench.copy()
        report, _ = cut(bench, folder, "--fresh", **delivery)
        with open(SCHEMA, encoding="utf-8") as file:
            problems = list(jsonschema.Draft7Validator(json.load(file)).iter_errors(report))
        that(not problems, f"the report fits its schema: {problems[:2]}")
        told = report["song"]["cut"]
        print(f"-- {delivery}: {told['pieces']}, ends on: {told['ending']}")
        bars = (told["pieces"][0]["in_s"] + 0.025 - form_song.OFFSET_S) / form_song.BAR_S
        that(abs(bars - round(bars)) * form_song.BAR_S < CLOSE_S, f"begins {bars:.3f} bars into the song, not on one")
        that(round(bars) % 4 == 0 or told["ending"] in ("own", "phrase"),
             f"neither the start, bar {round(bars)}, nor the end stands on half a phrase")
        arrival = judge_cut.on_record(form_song.ARRIVALS_S, report["song"], os.path.join(folder, "out", "reel.edl"),
                                      Fraction(report["delivery"]["rate"]))
        that(any(2 < at < delivery["length_s"] - 2 for at in arrival), f"the arrival is heard, with a build: {arrival}")
        that(told["ending"] != "cut off" and os.path.samefile(told["original"], os.path.join(folder, "form.wav")),
             "an ending, and the original named")
        written = by_the_samples(bench, folder, report)
        by_the_beats(bench, folder, report, written)
        event, item = by_the_lists(bench, folder, report, "reel.song.wav")
        that(event.source_in == 0 and item.source_in == 0, "the song as cut is played from its first sample")
        path = os.path.join(folder, "out", "reel.song.wav")
        that(os.path.samefile(report["song"]["path"], path), "the song as cut stands with the lists")
        first = hashes(os.path.join(folder, "out"))
        cut(bench, folder, "--fresh")
        that(hashes(os.path.join(folder, "out")) == first, "cutting twice gives the same bytes")


def jumping(bench):
    """From a start in the first loud part, a jump into the second is what reaches the song's own ending."""
    that, folder = bench.checks.that, bench.copy()
    start_s = form_song.OFFSET_S + 16 * form_song.BAR_S - 0.025
    report, done = cut(bench, folder, length_s=17.5, song={"start_s": start_s, "jump": True})
    told = report["song"]["cut"]
    print(f"-- jump: {told['pieces']}, {told['likeness']} alike, ends on: {told['ending']}")
    that(len(told["pieces"]) == 2 and "jumps once" in done.stderr, f"it jumps, and says so: {done.stderr}")
    if len(told["pieces"]) != 2:
        return
    for at in (told["pieces"][0]["out_s"], told["pieces"][1]["in_s"]):
        bars = (at + 0.025 - form_song.OFFSET_S) / form_song.BAR_S
        that(abs(bars - round(bars)) * form_song.BAR_S < CLOSE_S, f"the join at {at} s is no downbeat: bar {bars:.3f}")
    left, entered = ((piece + 0.025 - form_song.OFFSET_S) / form_song.BAR_S
                     for piece in (told["pieces"][0]["out_s"], told["pieces"][1]["in_s"]))
    that(round(entered - left) % 8 == 0, f"it joins like places of two phrases: bars {left:.2f} and {entered:.2f}")
    written = by_the_samples(bench, folder, report)
    by_the_beats(bench, folder, report, written)
    by_the_lists(bench, folder, report, "reel.song.wav")
    # A click is a jump from one sample to the next that the song around it has not.
    join = round(told["pieces"][1]["record_s"] * WAV_HZ)
    steps = np.abs(np.diff(written, 2, axis=1))
    near = steps[:, join - 600:join + 600].max()
    that(near <= steps[:, join - 48000:join + 24000].max(), f"the join clicks: {near}")
    report, _ = cut(bench, folder, song={"jump": False})
    that(len(report["song"]["cut"]["pieces"]) == 1, "with jump false it does not jump")


def original(bench):
    """--song original plays the file itself, from a whole frame, and refuses to jump."""
    that, folder = bench.checks.that, bench.copy()
    report, _ = cut(bench, folder, length_s=12, song={"start_s": 3.337})
    that(abs(report["song"]["cut"]["pieces"][0]["in_s"] - 3.337) < 1 / WAV_HZ, "the song as cut begins to the sample")
    before = hashes(os.path.join(folder, "out"))["reel.song.wav"]
    report, _ = cut(bench, folder, "--song", "original")
    that("cut" not in report["song"], "no cut in the report")
    that(abs(report["song"]["start_s"] - 83 / 25) < 1e-9, f"the start lies on a frame: {report['song']['start_s']}")
    event, _ = by_the_lists(bench, folder, report, "form.wav")
    that(event.source_in == 83, f"the lists begin at frame {event.source_in} of the file")
    true = [at - 83 / 25 for at in TRUE_BEATS]
    planned = [anchor["beat_record_s"] for shot in report["shots"] for anchor in shot["anchors"]]
    off = max(abs(at - judge_cut.nearest(true, at)) for at in planned)
    that(off < CLOSE_S, f"no part of a frame hides in the errors: beats off by {1000 * off:.2f} ms")
    that(hashes(os.path.join(folder, "out"))["reel.song.wav"] == before, "an earlier song as cut stays")
    that(any(entry.get("kept") for entry in report["outputs"]), "and the report still knows it")
    cut(bench, folder)  # which is therefore overwritten without --force
    change_job(folder, lambda it: it["song"].update(start_s=None))
    report, _ = cut(bench, folder, "--song", "original")
    that(abs(report["song"]["start_s"] * 25 - round(report["song"]["start_s"] * 25)) < 1e-6, "a chosen start, on a frame")
    change_job(folder, lambda it: it["song"].update(jump=True))
    bench.refused("original and jump", 2, ["cut", "job.json", "--song", "original"], [r"jump", r"original"], folder)
    bench.refused("no such song", 2, ["cut", "job.json", "--song", "other"], r"--song", folder, advice=False)


def in_the_way(bench):
    that, folder = bench.checks.that, bench.copy()
    path = os.path.join(folder, "out", "reel.song.wav")
    with open(path, "ab") as file:
        file.write(b"by hand")
    change_job(folder, lambda it: small_day.shorten(it, 5.0))
    bench.refused("song as cut, changed by hand", 5, ["cut", "job.json"], [r"reel\.song\.wav", r"--force"], folder)
    that(bench.tool("cut", "job.json", "--force", cwd=folder).returncode == 0, "--force overwrites it")
    os.remove(path)
    os.mkdir(path)
    bench.refused("a folder in its place", 5, ["cut", "job.json", "--force"], r"reel\.song\.wav", folder)


def channels(bench):
    """Six channels are no case for a mix that nobody asked for."""
    that, folder = bench.checks.that, bench.copy()
    song = os.path.join(folder, "form.wav")
    subprocess.run(["ffmpeg", "-v", "error", "-i", song, "-af", "pan=5.1|c0=c0|c1=c1|c2=c0|c3=c1|c4=c0|c5=c1",
                    os.path.join(folder, "six.wav")], check=True, stdin=subprocess.DEVNULL)
    change_job(folder, lambda it: it["song"].update(file="six.wav"))
    bench.refused("a song of six channels", 3, ["cut", "job.json"], [r"six\.wav", r"6 channels", r"original"], folder)
    report, _ = cut(bench, folder, "--song", "original")
    that(report["song"]["file"] == "six.wav", "--song original takes it")


if __name__ == "__main__":
    run((prepare, chosen, jumping, original, in_the_way, channels), "song-cut")
