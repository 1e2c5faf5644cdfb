// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/match/facts.h"
#include "downball/model/heard.h"
#include "downball/model/shot_log.h"
#include "downball/text/csv.h"
#include "downball/time/rate.h"

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace downball::shotlog {

// Columns of log.csv, in the order a new one is written. Columns that are not ours are kept as they are.
std::span<const std::string> columns();

// A contact cell holds "seconds" or "seconds:confidence" words; "-" says: listened to, nothing there.
struct WrittenContact {
    double seconds = 0;
    double confidence = 1;
    bool by_hand = true; // written without a confidence; a hearing always writes one
};

// One row with its cells understood, before the files are known.
struct Row {
    int line = 0;
    std::string id, file, reel, camera;
    Take tags; // only what the row alone tells: kind, players, skills, size ... note
    // As the user wrote them: seconds ("12.5"), frames of the file ("312f") or a timecode label, which counts
    // from the file's start label if it has one; empty = the file's start and end.
    std::string in, out;
    bool listened = false; // `contacts` is filled, with contacts or "-"
    std::vector<WrittenContact> contacts;
    std::vector<std::string> marks; // picture instants, written like `in`
    std::optional<double> distance_m;
    std::optional<std::uint64_t> bytes; // size and length of the file, as they were when it was logged
    std::optional<double> duration_s;
};

struct Log {
    std::string path;
    text::CsvTable table;
    std::vector<Row> rows;
    std::vector<std::string> notes;
};

// A player as the job knows one; name ("Mira Tolvane") and team may be empty.
struct RosterPlayer {
    std::string id;
    std::string name = {};
    std::string team = {};
};

// Reads log.csv. All complaints of all rows come in one Error, a line each ("line 12, column size: ..."; the
// same of several rows once); unknown tags name the nearest known one. Lists may have commas, semicolons,
// slashes and plus signs between their words, too. In a log separated by anything but commas numbers may have a
// decimal comma. Rows without a single filled cell are passed over.
// `roster` is empty when any player id is welcome, and then the notes tell which were found. Else a player is
// called by id, by whole name, or by a word of the name that no other player or team has, and the name of a
// team stands for all of its players; in any (ASCII) case. An id goes before a word of a name, a whole name of
// several words before single words, save where each of them is an id.
Result<Log> read_log(std::string_view text, const std::string& path, const std::vector<RosterPlayer>& roster);

// What a log tells of one of its files, by all rows of it together; the first that tells something counts.
struct LoggedFile {
    std::string file; // as it stands there
    int line = 0;
    std::optional<std::uint64_t> bytes = {}; // nothing where the cell is empty or holds no number
    std::optional<double> duration_s = {};
    bool never = true; // every row of it is never used
    std::size_t rows = 0;
    std::string id = {}, camera = {}, reel = {}, moment = {};
    std::optional<double> capture_fps = {};
    std::optional<std::vector<WrittenContact>> contacts =
        {}; // nothing where nobody listened, or the cell is spoilt
};
// In the order of their first rows. Rows without a file are passed over; no other cell is looked at.
std::vector<LoggedFile> logged_files(const text::CsvTable& table);

// The table with other `file` cells: by what stands there, what shall stand there. All else stays.
text::CsvTable with_new_places(text::CsvTable table, const std::map<std::string, std::string>& places);

// Does a file last as long as logged? Within a picture, or 0.05 s where that is more.
bool lasts_as_logged(double logged_s, const MediaInfo& media);

struct CameraSettings {
    double sound_offset_s = 0;
    std::optional<double> distance_m;
    std::optional<double> capture_fps;
};

// What the log's files turned out to be, by the name that stands in its `file` column.
struct Footage {
    std::map<std::string, MediaInfo> media;
    std::map<std::string, Hearing> heard; // by file; used for rows whose `contacts` are empty
    // By file, the camera that heard these in its stead: the way of the sound is the way to that one.
    std::map<std::string, std::string> heard_by;
    std::map<std::string, CameraSettings> cameras;
    std::set<std::string> absent; // files that are not there: `media` has what the log tells of them
    match::Facts match_facts;
    std::map<std::string, std::string> teams; // of players, by id
    std::optional<Rate> delivery;             // of the cut; notes on fast cameras need it
    double air_temperature_c = 20;
    double confidence_floor = 0; // contacts below are in the takes, but no skill is looked for in them
};

// Rows and files together: takes with impacts whose picture instants are known, see shotlog/impacts.h in src.
// Take::ends is match::ends_parity, left, serving and server what the match facts and the log's scores tell, for
// rows without a score by that of their moment; Take::order follows set and points where they are given, and rows
// without them stay behind the row before them.
// Notes tell which cameras of the footage no row has, which takes guess their skills, which files are not
// as long as logged, which scores and servers cannot be, and how fast cameras play at the rate of delivery.
// Errors: a row whose file is not among the media or has no picture, in after out or outside the file, marks
// and contacts written by hand outside the take; all in one Error. Heard contacts outside are not in the
// take.
Result<ShotLog> bind(const Log& log, const Footage& footage);

// Speed of sound in air, m/s: 343.2 sqrt((t + 273.15) / 293.15), ISO 9613-1:1993.
double speed_of_sound(double air_temperature_c);

// A clip found on the cards, to be entered.
struct FoundClip {
    std::string file; // as it shall stand in the log: relative to the job's folder
    MediaInfo media;
    std::optional<Hearing> hearing;
    // What the clips told together; empty where they told nothing.
    std::string camera = {}, moment = {}, reel = {};
    std::string began = {}; // date and time by the clock of the day
    std::optional<Kind> kind = {};
    std::string note = {}; // behind "kind guessed"
};

// The camera, by the folder that a file lies in: the next one above it that no camera made on its card (DCF: DCIM, then
// three digits and five characters). Empty if that would read as a formula, or there is none.
std::string camera_of(const std::string& file);

// What contacts alone tell: a clip in which none was heard is a cutaway until somebody says otherwise.
Kind guessed_kind(const FoundClip& clip);

// The table brought up to date: rows, columns, order and the user's cells stay as they are; columns of ours
// that are missing stand at the end, empty cells that the files can fill (id, camera, contacts, bytes,
// duration_s, began, file_fps, has_sound) are filled, new clips get rows with a guess of their kind, moment and reel, and rows
// whose file is gone are named in `gone`. `moment` is filled in rows of a known file, too, if it is the file's only one. Merging
// again changes nothing. A new cell never begins like a spreadsheet's formula, save the lone "-".
// `key` gives one name for all spellings of a file; without it "./A/x.mp4" and "A/x.mp4" are one, and no more is
// known.
using FileKey = std::function<std::string(const std::string& file)>;
struct Merged {
    text::CsvTable table;
    std::size_t added = 0;
    std::vector<std::string> gone;
};
Merged merge(const text::CsvTable& table, std::span<const FoundClip> found, const FileKey& key = {});

// An empty log with all columns.
text::CsvTable new_table();

} // namespace downball::shotlog
