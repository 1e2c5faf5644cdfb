# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The built program against bad input: exit status, message, nothing half-written, last outputs untouched."""
import csv
import io
import os
import re
import shutil
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
import sound_bank  # noqa: E402
from run_tool import hashes  # noqa: E402
from spoilt_jobs import change_job, change_row, run, spoil_line  # noqa: E402


def files(bench):
    folder = bench.copy()
    bench.refused("clip that is not there", 3, ["impacts", "nowhere.mp4"], r"nowhere\.mp4", folder)
    bench.refused("song that is not there", 3, ["beats", "nowhere.wav"], r"nowhere\.wav", folder)
    bench.refused("job that is not there", 3, ["cut", "nowhere"], r"nowhere", folder)
    bench.refused("folder for a song", 3, ["beats", "footage"], r"footage", folder)
    bench.refused("folder for a clip", 3, ["impacts", "footage"], r"footage", folder)

    with open(os.path.join(folder, "fake.mp4"), "w", encoding="ascii") as file:
        file.write("This is a shopping list: bread, sun cream, a new ball.\n" * 20)
    bench.refused("text called .mp4 as a clip", 3, ["impacts", "fake.mp4"], r"fake\.mp4", folder)
    bench.refused("text called .mp4 as a song", 3, ["beats", "fake.mp4"], r"fake\.mp4", folder)
    shutil.copy(os.path.join(folder, "fake.mp4"), os.path.join(folder, "footage", "K_03.mp4"))
    bench.refused("text called .mp4 in the log", 3, ["cut", "job.json"], r"K_03\.mp4", folder)

    sound_bank.write_wav(os.path.join(folder, "empty.wav"), [])
    bench.refused("song without a sample", 3, ["beats", "empty.wav"], r"empty\.wav", folder)
    bench.refused("clip without a sample", 3, ["impacts", "empty.wav"], r"empty\.wav", folder)
    folder = bench.copy()
    sound_bank.write_wav(os.path.join(folder, "song.wav"), [])
    bench.refused("job whose song is empty", 3, ["cut", "job.json"], r"song\.wav", folder)
    open(os.path.join(folder, "song.wav"), "wb").close()
    bench.refused("job whose song has no byte", 3, ["cut", "job.json"], r"song\.wav", folder)
    os.remove(os.path.join(folder, "song.wav"))
    bench.refused("job whose song is gone", 3, ["cut", "job.json"], r"song\.wav", folder)

    folder = bench.copy()
    os.remove(os.path.join(folder, "footage", "K_02.mp4"))
    bench.refused("clip listed but gone", 3, ["cut", "job.json"], r"K_02\.mp4", folder)
    rows = small_day.read_log(os.path.join(folder, "log.csv"))[1]
    done = bench.tool("log", "job.json", cwd=folder)
    bench.checks.that(done.returncode == 0 and "K_02.mp4" in done.stderr + done.stdout,
                      "log, a clip gone: names it and goes on")
    bench.checks.that(small_day.read_log(os.path.join(folder, "log.csv"))[1] == rows, "log, a clip gone: keeps its row")


def silence(bench):
    """Clips without sound are footage too: no error, but they are named and nothing is heard in them."""
    that, folder = bench.checks.that, bench.copy()
    clip = os.path.join(folder, "footage", "K_01.mp4")
    sound_bank.write_clip(clip, [0.0] * (3 * sound_bank.RATE), 25, size="64x36", audio=False)
    done = bench.tool("impacts", "footage/K_01.mp4", cwd=folder)
    print(f"-- clip without a sound track: exit {done.returncode}\n   {done.stderr.strip()}")
    that(done.returncode in (0, 3) and "K_01.mp4" in done.stderr and not done.stdout,
         "clip without a sound track: says so, hears nothing")
    line = change_row(folder, "K_01.mp4", contacts="")
    take = small_day.read_log(os.path.join(folder, "log.csv"))[1][line - 2]["id"]
    done = bench.tool("cut", "job.json", cwd=folder)
    print(f"-- cut with a clip without sound: exit {done.returncode}\n   {done.stderr.strip()}")
    that(done.returncode == 0, f"cut with a clip without sound: exit {done.returncode}")
    that(re.search(rf"({take}|K_01\.mp4)\b.*no sound", done.stderr), "cut with a clip without sound: the take is named")

    sound_bank.write_clip(clip, [0.0] * (3 * sound_bank.RATE), 25, size="64x36")
    done = bench.tool("impacts", "footage/K_01.mp4", cwd=folder)
    that(done.returncode == 0 and not done.stdout, "clip of digital silence: no contact, no error")

    for name in sorted(os.listdir(os.path.join(folder, "footage"))):
        shutil.copy(clip, os.path.join(folder, "footage", name)) if not name.endswith("K_01.mp4") else None
        change_row(folder, name, contacts="")
    before = hashes(folder)
    done = bench.tool("cut", "job.json", cwd=folder)
    print(f"-- nothing heard anywhere: exit {done.returncode}\n   {done.stdout.strip()}\n   {done.stderr.strip()}")
    that(done.returncode == 4 and done.stdout.strip(), "no contact in any clip: exit 4 and the conflict on stdout")
    that(hashes(folder) == before, "no contact in any clip: last outputs stay")


def starting(bench):
    folder = os.path.join(bench.place, "start")
    os.makedirs(os.path.join(folder, "nothing"))
    os.makedirs(os.path.join(folder, "here"))
    shutil.copy(os.path.join(bench.good, "song.wav"), folder)
    shutil.copytree(os.path.join(bench.good, "footage"), os.path.join(folder, "footage"))
    into = ["--in", "here"]
    bench.refused("new without clips", 3, ["new", "nothing", "--music", "song.wav", *into], r"nothing", folder)
    bench.refused("new from no folder", 3, ["new", "nowhere", "--music", "song.wav", *into], r"nowhere", folder)
    bench.refused("new, song gone", 3, ["new", "footage", "--music", "gone.wav", *into], r"gone\.wav", folder)
    bench.refused("new without a song", 2, ["new", "footage", *into], r"--music", folder)
    bench.refused("unknown command", 2, ["cutt", "job.json"], r"cutt", folder, advice=False)
    bench.refused("unknown option", 2, ["beats", "song.wav", "--loud"], r"--loud", folder, advice=False)
    bench.refused("floor that is no number", 2, ["impacts", "footage/K_01.mp4", "--floor", "nan"],
                  [r"--floor", r"\bnan\b", r"from 0 to 1"], folder)
    bench.refused("no command", 2, [], r"--help", folder, advice=False)
    bench.refused("new over a job", 5, ["new", "footage", "--music", "song.wav"], r"job\.json|log\.csv", bench.good)

    folder = bench.copy()
    for name in os.listdir(os.path.join(folder, "footage")):
        os.remove(os.path.join(folder, "footage", name))
    header, _ = small_day.read_log(os.path.join(folder, "log.csv"))
    small_day.write_log(os.path.join(folder, "log.csv"), header, [])
    bench.refused("log without rows, footage without clips", 3, ["cut", "job.json"], r"log\.csv|footage", folder)


def at_line(number):
    return rf"log\.csv:{number}\b|log\.csv.*\bline {number}\b"


def words(bench):
    folder = bench.copy()
    job = os.path.join(folder, "job.json")
    with open(job, encoding="utf-8") as file:
        good_job = file.read()
    spoil_line(job, 5, '  "out" "broken",')
    bench.refused("broken JSON", 3, ["cut", "job.json"], r"job\.json:5\b", folder)
    with open(job, "w", encoding="utf-8") as file:
        file.write(good_job[:len(good_job) // 2])
    bench.refused("JSON cut short", 3, ["cut", "job.json"], r"job\.json:\d+", folder)

    def spoilt(case, change, says, advice=True):
        with open(job, "w", encoding="utf-8") as file:
            file.write(good_job)
        change_job(folder, change)
        bench.refused(case, 3, ["cut", "job.json"], says, folder, advice)

    spoilt("unknown key", lambda it: it["pacing"].update(longset_s=3) if "pacing" in it
           else it.update(pacing={"longset_s": 3}), [r"job\.json.*/pacing", r"longset_s", r"longest_s"])
    spoilt("rate without timecode", lambda it: it["delivery"].update(rate="120"),
           [r"job\.json", r"/delivery", r"120", r"timecode"])
    spoilt("rate without timecode, a number", lambda it: it["delivery"].update(rate=119.88),
           [r"/delivery", r"timecode"])
    spoilt("drop frame where there is none", lambda it: it["delivery"].update(drop_frame=True),
           [r"/delivery", "30000/1001"], advice=False)
    spoilt("shortest over longest", lambda it: it.update(pacing={"shortest_s": 5, "longest_s": 2}),
           [r"/pacing", r"\b5\b", r"longest_s\D*2\b"], advice=False)
    spoilt("wrong type", lambda it: it.update(footage="footage"), r"/footage")
    spoilt("no song said", lambda it: it.pop("song"), r"song")
    change_job(folder, lambda it: it.update(song={"file": "song.wav"}, footage=["elsewhere"]))
    bench.refused("footage folder gone", 3, ["log", "job.json"], r"elsewhere", folder)

    folder = bench.copy()
    log = os.path.join(folder, "log.csv")
    line = change_row(folder, "K_04.mp4", skills="set atack")
    bench.refused("unknown tag", 3, ["cut", "job.json"], [at_line(line), "atack", r"\battack\b"], folder)
    line = change_row(folder, "K_04.mp4", skills="set attack", size="tigth")
    bench.refused("unknown size", 3, ["cut", "job.json"], [at_line(line), "tigth", r"\btight\b"], folder)
    change_row(folder, "K_04.mp4", size="tight")
    spoil_line(log, 4, 'x,"footage/K_03.mp4')
    bench.refused("quote never closed", 3, ["cut", "job.json"], at_line(4), folder)
    folder = bench.copy()
    spoil_line(os.path.join(folder, "log.csv"), 5, "t9,footage/K_04.mp4,,,action,,,,,,,,,,,,,,,,,,,,,,,,,,,too,many")
    bench.refused("more cells than columns", 3, ["cut", "job.json"], at_line(5), folder)
    folder = bench.copy()
    os.remove(os.path.join(folder, "log.csv"))
    bench.refused("log gone", 3, ["cut", "job.json"], r"log\.csv", folder)


def broken_logs(bench):
    """A log that cannot be read whole stays byte for byte, for `cut` as for `log`; both name line and column."""
    folder = bench.copy()
    log = os.path.join(folder, "log.csv")
    with open(log, "rb") as file:
        good = file.read().replace(b"\r\n", b"\n")
    lines = good.decode().splitlines()
    header, rows = small_day.read_log(log)
    first, last = lines[1], lines[-1]
    note = header.index("note")
    quoted = last.split(",")
    quoted[note] = '"half a no'
    half = "\n".join(lines[:-1] + [",".join(quoted[:note + 1])])
    wide = good.decode().encode("utf-16-le")

    def refused(case, content, *says):
        with open(log, "wb") as file:
            file.write(content)
        for command in ("log", "cut"):
            bench.refused(f"{case}, {command}", 3, [command, "job.json"], list(says), folder)

    end = len(lines)
    refused("log cut in a quoted cell", half.encode(), at_line(end), "column note", "never closed", "save it again")
    refused("log cut in a row", "\n".join(lines[:-1] + [last[:len(last) // 2].rstrip(",")]).encode(), at_line(end),
            "half-written", "save the table again")
    refused("quote in a cell", good.replace(first.encode(), first.replace("footage/", 'foot"age/', 1).encode()),
            at_line(2), "column file", "quote")
    refused("two rows too long", "\n".join([lines[0], first + ",,x", *lines[2:-1], last + ",y", ""]).encode(),
            at_line(2), rf"likewise in line {end}\b", "expected at most")
    refused("UTF-16 without its mark", wide, at_line(1), "byte order mark", "save")
    refused("UTF-16 of an odd length", b"\xff\xfe" + wide + b"\n", at_line(end + 1), "half a character", "save")
    refused("half a surrogate pair", b"\xff\xfe" + wide.replace("K_01".encode("utf-16-le"), b"\x3d\xd8", 1),
            at_line(2), "surrogate", "save")
    refused("Windows-1252", good.replace(b"K_01", b"K_\xe9", 1), at_line(2), "no UTF-8", "save")

    # What only `cut` reads: all that is wrong at once, each with line and column.
    for row, change in zip(rows, (dict(players="An\U0001F3D0", skills="=HYPERLINK(1)"), dict(id=rows[0]["id"]),
                                  dict(size="\U0001F60E", kind="+action"))):
        row.update(change)
    small_day.write_log(log, header, rows)
    roster = {name: {"team": "Gulls"} for name in small_day.PLAYERS}
    change_job(folder, lambda it: it.update(roster={"players": roster}))
    bench.refused("emoji, formulas and an id twice", 3, ["cut", "job.json"],
                  ["line 2, column players: found \"An\U0001F3D0\"",
                   r"line 2, column skills: found \"=HYPERLINK\(1\)\"",
                   rf"line 3, column id: found \"{rows[0]['id']}\", which stands in line 2",
                   "line 4, column size: found \"\U0001F60E\"", r"line 4, column kind: found \"\+action\""], folder)
    done = bench.tool("log", "job.json", cwd=folder)
    bench.checks.that(done.returncode == 0, "log: rows with odd tags are no reason to stop")
    bench.checks.that(small_day.read_log(log)[1] == rows, "log: formulas and emoji of the user's stay")
    small_day.write_log(log, header, rows[4:])
    for row in rows[4:6]:
        row["in"], row["out"], row["marks"] = "2", "1", "0.1"
    rows[6].update({"in": "1", "out": "2", "marks": "2.5", "contacts": "0.5"})
    small_day.write_log(log, header, rows[4:])
    bench.refused("in after out, marks and contacts outside", 3, ["cut", "job.json"],
                  ["lines 2, 3, column in: .*expected in before out", "line 4, column marks: found 2.5, outside",
                   r"line 4, column contacts: found 0\.500"], folder)


def dialects(bench):
    """A log saved by a spreadsheet in one of its own ways is read, and brought up to date in that way."""
    folder = bench.copy()
    log = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(log)
    gone = rows.pop()["file"]
    decimal = [dict(row, duration_s=row["duration_s"].replace(".", ",")) for row in rows]

    def text(separator, these, line_end="\r\n"):
        kept = io.StringIO(newline="")
        writer = csv.writer(kept, delimiter=separator, lineterminator=line_end, quoting=csv.QUOTE_ALL)
        writer.writerow(header)
        writer.writerows([row[column] for column in header] for row in these)
        return kept.getvalue()

    for case, encoding, first, separator, these in (
            ("UTF-16 LE, tabs", "utf-16-le", "\ufeff", "\t", decimal),
            ("UTF-16 BE, tabs", "utf-16-be", "\ufeff", "\t", rows),
            ("UTF-8 with its mark, semicolons", "utf-8", "\ufeff", ";", decimal),
            ("sep=", "utf-8", "sep=;\r\n", ";", decimal),
            ("plain", "utf-8", "", ",", rows)):
        before = (first + text(separator, these)).encode(encoding)
        with open(log, "wb") as file:
            file.write(before)
        done = bench.tool("log", "job.json", cwd=folder)
        with open(log, "rb") as file:
            after = file.read()
        bench.checks.that(done.returncode == 0 and after.startswith(before), f"{case}: the old rows stay byte for byte")
        new = after[len(before):].decode(encoding)
        bench.checks.that(new.count("\r\n") == 1 and gone in new, f"{case}: one new row in the same way, found {new!r}")
        bench.checks.that((",000" in new) == (these is decimal), f"{case}: decimal sign of the table, found {new!r}")
        done = bench.tool("log", "job.json", cwd=folder)
        with open(log, "rb") as file:
            bench.checks.that(done.returncode == 0 and file.read() == after, f"{case}: log again changes nothing")
        done = bench.tool("cut", "job.json", cwd=folder)
        bench.checks.that(done.returncode == 0, f"{case}: cut says {done.stderr}")


def numbers(bench):
    """Figures about sound that cannot be: the message names file, row and column, or file and place in the job."""
    folder = bench.copy()
    clean = dict(distance_m="", contacts="0.9:0.99", marks="", capture_fps="", **{"in": ""})
    for column, values in {"distance_m": ["-3", "5000", "far", "12,5", "1e9", "nan", "inf", "0x10", "15 m"],
                           "capture_fps": ["0", "-120", "fast", "1e9", "nan"],
                           "contacts": ["-1", "soon", "1.5:2", "1.5:", "1,5", "nan", "inf", "9999999", "1.5;2.5"],
                           "marks": ["-1", "soon", "-3f", "nan", "2,5"]}.items():
        for value in values:
            line = change_row(folder, "K_04.mp4", **{**clean, column: value})
            bench.refused(f"{column} {value}", 3, ["cut", "job.json"],
                          [r"log\.csv", rf"\bline {line}, column {column}: found \"{re.escape(value)}", "expected"],
                          folder)
    # Only the files tell that these cannot be.
    line = change_row(folder, "K_04.mp4", **{**clean, "contacts": "0.1", "distance_m": "900"})
    bench.refused("picture of a contact before the clip", 3, ["cut", "job.json"],
                  [r"log\.csv", rf"line {line}, column contacts: found 0\.100, whose picture at -\d", "distance"],
                  folder)
    line = change_row(folder, "K_04.mp4", **{**clean, "contacts": "57.25"})
    bench.refused("contact past the end", 3, ["cut", "job.json"],
                  [r"log\.csv", rf"line {line}, column contacts: found 57\.250"], folder)
    line = change_row(folder, "K_04.mp4", **{**clean, "marks": "57.25"})
    bench.refused("mark past the end", 3, ["cut", "job.json"],
                  [r"log\.csv", rf"line {line}, column marks: found 57\.25"], folder)
    change_row(folder, "K_04.mp4", **clean)

    job = os.path.join(folder, "job.json")
    with open(job, encoding="utf-8") as file:
        good_job = file.read()
    for place, values in {"sound/air_temperature_c": [-60, 95, 1e9, "warm", None],
                          "cameras/A/distance_m": [-1, 5000, "far"], "cameras/A/sound_offset_s": [-6, 40, "late"],
                          "cameras/A/capture_fps": [0, -120, "fast"]}.items():
        for value in values:
            def change(it, place=place, value=value):
                *path, last = place.split("/")
                for part in path:
                    it = it.setdefault(part, {})
                it[last] = value

            with open(job, "w", encoding="utf-8") as file:
                file.write(good_job)
            change_job(folder, change)
            bench.refused(f"{place} {value}", 3, ["cut", "job.json"],
                          rf"job\.json.*/{place}: found .*, expected a number of \w+", folder)


def limits(bench):
    folder = bench.copy()
    change_job(folder, lambda it: it.update(variety={"players": {"ana": {"at_least": 40}}}))
    before = hashes(folder)
    done = bench.tool("cut", "job.json", cwd=folder)
    print(f"-- limits in conflict: exit {done.returncode}\n   {done.stdout.strip()}\n   {done.stderr.strip()}")
    bench.checks.that(done.returncode == 4, f"limits in conflict: exit {done.returncode}, expected 4")
    bench.checks.that("ana" in done.stdout, "limits in conflict: the conflict on stdout names the player")
    bench.checks.that(hashes(folder) == before, "limits in conflict: last outputs stay")


if __name__ == "__main__":
    run((files, silence, starting, words, broken_logs, dialects, numbers, limits), "bad-input")
