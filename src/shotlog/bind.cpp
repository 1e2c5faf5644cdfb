// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/cells.h"
#include "shotlog/fast_cameras.h"
#include "shotlog/impacts.h"
#include "shotlog/match_sense.h"
#include "shotlog/scores.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"
#include "downball/match/starts.h"
#include "downball/shotlog/log.h"

#include <algorithm>
#include <fmt/format.h>
#include <numeric>

namespace downball::shotlog {
namespace {

struct Binding {
    const Log& log;
    const Footage& footage;
    ShotLog out;
    Complaints complaints;
    std::map<std::string, std::size_t> media_at; // by file
    std::map<std::string, std::string> first_of; // path of the first file with a content, by its id
    RallyReader rallies;
};

std::size_t media_index(Binding& binding, const std::string& file, const MediaInfo& media) {
    const auto [at, fresh] = binding.media_at.emplace(file, binding.out.media.size());
    if (!fresh) return at->second;
    // The first of its kind is named with each copy, so that many copies make no more notes than there are.
    const auto [twin, first] = binding.first_of.emplace(media.id, media.path);
    if (!media.id.empty() && !first)
        binding.out.notes.push_back(
            fmt::format("{}: holds the same bytes as {}; the same pictures may be shown twice", media.path,
                        twin->second));
    binding.out.media.push_back(media);
    return at->second;
}

// The row's in and out in media seconds. An out within a frame of the file's end is the end: the last frame's
// label or a rounded length is what people write.
bool set_range(Binding& binding, const Row& row, const MediaInfo& media, Take& take) {
    take.in_s = 0;
    take.out_s = media.duration_s;
    bool good = true;
    const auto read = [&](const char* column, const std::string& cell, double& into) {
        if (cell.empty()) return;
        const auto seconds = instant_s(cell, media);
        if (seconds) {
            into = *seconds;
        } else {
            binding.complaints.add(row.line, column, seconds.error().what);
            good = false;
        }
    };
    read("in", row.in, take.in_s);
    read("out", row.out, take.out_s);
    if (!good) return false;
    const double frame_s = media.average_fps > 0 ? 1 / media.average_fps : 0.04;
    if (take.out_s > media.duration_s && take.out_s <= media.duration_s + frame_s)
        take.out_s = media.duration_s;
    if (take.out_s > media.duration_s + 1e-9) {
        binding.complaints.add(row.line, "out",
                               fmt::format("found {}, past the end of {}, which lasts {:.3f} s", row.out,
                                           media.name, media.duration_s));
        return false;
    }
    if (take.in_s >= media.duration_s) {
        binding.complaints.add(row.line, "in",
                               fmt::format("found {}, outside {}, which lasts {:.3f} s{}", row.in, media.name,
                                           media.duration_s,
                                           media.start ? " from " + media.start->label : std::string()));
        return false;
    }
    if (take.in_s >= take.out_s) {
        binding.complaints.add(
            row.line, row.in.empty() ? "out" : "in",
            fmt::format("the take begins at {:.3f} s and ends at {:.3f} s; expected in before out", take.in_s,
                        take.out_s));
        return false;
    }
    return true;
}

std::vector<SoundContact> contacts_of(const Binding& binding, const Row& row) {
    std::vector<SoundContact> contacts;
    // How hard a logged contact sounded is not in the log; sure ones are as a rule the hard ones.
    for (const WrittenContact& written : row.contacts)
        contacts.push_back({written.seconds, written.confidence, written.confidence, ContactSource::logged,
                            written.by_hand});
    if (row.listened) return contacts;
    if (const auto heard = binding.footage.heard.find(row.file); heard != binding.footage.heard.end()) {
        for (const Heard& contact : heard->second.contacts)
            contacts.push_back({contact.sound_s, contact.confidence, contact.strength, ContactSource::heard,
                                false, contact.hard});
    }
    return contacts;
}

SoundPath path_of(const Binding& binding, const Row& row, const MediaInfo& media,
                  const CameraSettings& camera) {
    const double air_c = binding.footage.air_temperature_c;
    const auto by = binding.footage.heard_by.find(row.file);
    if (row.listened || by == binding.footage.heard_by.end()) return sound_path(row, media, camera, air_c);
    const auto settings = binding.footage.cameras.find(by->second);
    CameraSettings hearer = settings == binding.footage.cameras.end() ? CameraSettings{} : settings->second;
    hearer.capture_fps =
        camera.capture_fps; // the file is still this camera's, and stretches what is late in life
    hearer.sound_offset_s *=
        times_slower(media, row.tags.capture_fps ? row.tags.capture_fps : camera.capture_fps);
    Row elsewhere = row;
    elsewhere.distance_m.reset();
    return sound_path(elsewhere, media, hearer, air_c);
}

void add_impacts(Binding& binding, const Row& row, const MediaInfo& media, const CameraSettings& camera,
                 Take& take) {
    const auto outside = [&](double seconds) { return seconds < take.in_s - 1e-9 || seconds >= take.out_s; };
    std::vector<double> marks_s;
    for (const std::string& written : row.marks) {
        const auto seconds = instant_s(written, media);
        if (!seconds) {
            binding.complaints.add(row.line, "marks", seconds.error().what);
        } else if (outside(*seconds)) {
            binding.complaints.add(row.line, "marks",
                                   fmt::format("found {}, outside the take, which runs from {:.3f} to "
                                               "{:.3f} s of the file; correct it, or in and out",
                                               written, take.in_s, take.out_s));
        } else {
            marks_s.push_back(*seconds);
        }
    }
    const SoundPath path = path_of(binding, row, media, camera);
    const auto contacts = contacts_of(binding, row);
    for (const SoundContact& contact : contacts) {
        if (contact.by_hand && outside(contact.sound_s - path.later_by_s))
            binding.complaints.add(
                row.line, "contacts",
                fmt::format("found {:.3f}, whose picture at {:.3f} s is outside the take, which runs "
                            "from {:.3f} to {:.3f} s of the file; correct it, its distance, or in and out",
                            contact.sound_s, contact.sound_s - path.later_by_s, take.in_s, take.out_s));
    }
    take.impacts = make_impacts(take.id, contacts, marks_s, path);
    std::erase_if(take.impacts, [&](const Impact& impact) { return outside(impact.picture_s); });
    give_skills(take.skills, take.impacts, path.slowed, binding.footage.confidence_floor, binding.rallies);

    if (take.kind != Kind::action || take.use == Use::never || binding.footage.absent.contains(row.file))
        return;
    if (std::ranges::any_of(take.impacts,
                            [](const Impact& impact) { return impact.skill && !impact.skill_sure; }))
        binding.out.notes.push_back(
            fmt::format("{}: the contacts heard do not fit the skills logged one to one, so which is which "
                        "is a guess, marked ? in the lists; add marks or correct `contacts` to make it sure",
                        take.id));
    if (take.impacts.empty() && !contacts.empty())
        binding.out.notes.push_back(
            fmt::format("{}: all contacts heard lie outside in and out; move these, enter marks, or tag it "
                        "cutaway",
                        take.id));
    else if (take.impacts.empty())
        binding.out.notes.push_back(
            fmt::format("{}: {}; enter marks, or tag it cutaway", take.id,
                        media.audio ? "no contact heard" : "the file has no sound, so no contact is known"));
    const bool all_marked = std::all_of(take.impacts.begin(), take.impacts.end(), [](const Impact& impact) {
        return impact.source == ContactSource::mark;
    });
    if (!all_marked && !path.distance_known)
        binding.out.notes.push_back(take.id +
                                    ": no distance is known; the contacts are taken to be seen where they "
                                    "are heard, 2.9 ms late for each metre");
}

// No errors, but hardly meant.
void note_oddities(Binding& binding, const Row& row, const MediaInfo& media) {
    std::vector<std::string> cameras;
    for (const auto& [id, settings] : binding.footage.cameras)
        cameras.push_back(id);
    if (!row.camera.empty() && !binding.footage.cameras.contains(row.camera)) {
        if (const auto near = nearest_word(row.camera, cameras))
            binding.out.notes.push_back(fmt::format("line {}: camera {} is not in the job; did you mean {}?",
                                                    row.line, row.camera, *near));
    }
    if (!media.audio && !row.contacts.empty())
        binding.out.notes.push_back(
            fmt::format("line {}: {} has no sound, yet the log has contacts heard in it; write "
                        "instants seen in the picture as marks",
                        row.line, media.name));
    const double rate = media.rate ? media.rate->per_second() : media.average_fps;
    if (row.tags.capture_fps && *row.tags.capture_fps < 0.99 * rate)
        binding.out.notes.push_back(
            fmt::format("line {}: capture_fps {} is below the {:.3f} of {}, as in time lapse", row.line,
                        *row.tags.capture_fps, rate, media.name));
}

// Contacts and tags may be those of the file that lay there before.
void note_other_size(Binding& binding, const Row& row, const MediaInfo& media) {
    std::string differs;
    if (row.bytes && *row.bytes != media.bytes)
        differs = fmt::format("has {} bytes, the log says {}", media.bytes, *row.bytes);
    else if (row.duration_s && !lasts_as_logged(*row.duration_s, media))
        differs = fmt::format("lasts {:.3f} s, the log says {:.3f} s", media.duration_s, *row.duration_s);
    if (!differs.empty())
        binding.out.notes.push_back(
            fmt::format("line {}: {} {}: it was changed since, or is another file; if it is the right one, "
                        "empty contacts, bytes and duration_s, and `downball log` fills them",
                        row.line, media.name, differs));
}

// What the job says of a camera goes nowhere if no row has it.
void note_idle_cameras(Binding& binding) {
    std::vector<std::string> used;
    for (const Row& row : binding.log.rows)
        if (!row.camera.empty() && std::ranges::find(used, row.camera) == used.end())
            used.push_back(row.camera);
    for (const auto& [id, settings] : binding.footage.cameras) {
        if (std::ranges::find(used, id) != used.end()) continue;
        const auto near = nearest_word(id, used);
        const std::string has =
            used.empty() ? "the column camera is empty" : "the log has " + some_of(used, 6);
        binding.out.notes.push_back(
            fmt::format("cameras.{}: no row of the log has this camera, so its settings are not used; {}", id,
                        near ? fmt::format("did you mean {}?", *near) : has));
    }
}

void add_take(Binding& binding, const Row& row) {
    const auto found = binding.footage.media.find(row.file);
    if (found == binding.footage.media.end()) {
        binding.complaints.add(row.line, "file",
                               fmt::format("found \"{}\", which is not among the footage", row.file));
        return;
    }
    const MediaInfo& media = found->second;
    Take take = row.tags;
    take.media = media_index(binding, row.file, media);
    if (!media.has_video && take.kind != Kind::sound) {
        binding.complaints.add(row.line, "kind",
                               fmt::format("found {}, but {} has no pictures; expected sound",
                                           to_string(take.kind), media.name));
        return;
    }
    if (!set_range(binding, row, media, take)) return;
    if (!binding.footage.absent.contains(row.file)) {
        note_oddities(binding, row, media);
        note_other_size(binding, row, media);
    }
    CameraSettings camera;
    if (const auto known = binding.footage.cameras.find(row.camera); known != binding.footage.cameras.end())
        camera = known->second;
    if (!take.capture_fps) take.capture_fps = camera.capture_fps;
    add_impacts(binding, row, media, camera, take);
    binding.out.takes.push_back(std::move(take));
}

// Rows that say neither set nor points stand where their moment does, else behind the row before them.
void put_in_order(std::vector<Take>& takes) {
    using Key = std::pair<int, int>;
    std::vector<Key> keys;
    for (const auto& start : match::rally_starts(takes))
        keys.push_back(start          ? Key{start->set, start->score.a + start->score.b}
                       : keys.empty() ? Key{}
                                      : keys.back());
    std::vector<std::size_t> places(takes.size());
    std::iota(places.begin(), places.end(), std::size_t{0});
    std::stable_sort(places.begin(), places.end(),
                     [&](std::size_t a, std::size_t b) { return keys[a] < keys[b]; });
    for (std::size_t i = 0; i < places.size(); ++i)
        takes[places[i]].order = static_cast<int>(i);
}

} // namespace

Result<ShotLog> bind(const Log& log, const Footage& footage) {
    Binding binding{log, footage, {}, {}, {}, {}, {}};
    binding.out.notes = log.notes;
    for (const Row& row : log.rows)
        add_take(binding, row);
    if (binding.complaints.any()) return binding.complaints.error(log.path);
    for (const auto& [file, hearing] : footage.heard) {
        if (!binding.media_at.contains(file)) continue;
        for (const std::string& note : hearing.notes)
            binding.out.notes.push_back(fmt::format("{}: {}", file, note));
    }
    note_idle_cameras(binding);
    const auto contradictions = score_contradictions(binding.out.takes);
    binding.out.notes.insert(binding.out.notes.end(), contradictions.begin(), contradictions.end());
    tell_match(binding.out.takes, footage.match_facts, footage.teams);
    const auto impossible = match_contradictions(binding.out.takes, footage.match_facts, footage.teams);
    binding.out.notes.insert(binding.out.notes.end(), impossible.begin(), impossible.end());
    if (footage.delivery) {
        const auto fast = fast_camera_notes(binding.out, *footage.delivery);
        binding.out.notes.insert(binding.out.notes.end(), fast.begin(), fast.end());
    }
    put_in_order(binding.out.takes);
    return std::move(binding.out);
}

} // namespace downball::shotlog
