// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/cells.h"

#include "downball/base/text.h"
#include "downball/shotlog/log.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <set>

namespace downball::shotlog {
namespace {

std::string tidy(const std::string& file) {
    return std::filesystem::path(file).lexically_normal().generic_string();
}

// Blanks around a cell are not read, so a name that begins with one needs the "./", too.
std::string safe_file(const std::string& file) {
    return like_a_formula(file) || file.starts_with(' ') ? "./" + file : file;
}

// Folders that cameras make on their cards by the DCF rules (DCIM, then three digits and five characters)
// say nothing of the camera.
bool card_folder(std::string_view name) {
    if (lower(name) == "dcim") return true;
    return name.size() == 8 &&
           std::all_of(name.begin(), name.begin() + 3, [](char c) { return c >= '0' && c <= '9'; });
}

// Empty: not listened to.
std::string contacts_cell(const FoundClip& clip) {
    if (!clip.hearing || !clip.media.audio) return {};
    std::vector<std::string> found;
    for (const Heard& contact : clip.hearing->contacts) {
        if (contact.sound_s >= 0)
            found.push_back(fmt::format("{:.3f}:{:.2f}", contact.sound_s, contact.confidence));
    }
    return found.empty() ? "-" : join(found, " ");
}

// A spreadsheet of a country with decimal commas would take 12.480 for thousands.
std::string duration_cell(const MediaInfo& media, char decimal) {
    std::string cell = fmt::format("{:.3f}", media.duration_s);
    std::ranges::replace(cell, '.', decimal);
    return cell;
}

Kind guessed_kind(const FoundClip& clip, std::string_view contacts) {
    contacts = trim(contacts);
    if (!clip.media.has_video) return Kind::sound;
    return contacts.empty() || contacts == "-" ? Kind::cutaway : Kind::action;
}

// The table with a way to its cells by column name.
class Sheet {
  public:
    explicit Sheet(text::CsvTable table)
        : table_(std::move(table)), column_(table_), decimal_(decimal_sign(table_)) {
        for (const std::string& name : columns()) {
            if (table_.column(name) < 0) table_.header.push_back(name);
        }
        for (auto& row : table_.rows)
            row.resize(table_.header.size());
        table_.lines.resize(table_.rows.size());
        column_ = text::Columns(table_);
        for (std::size_t i = 0; i < rows(); ++i)
            note_id(cell(i, "id"));
    }

    std::size_t rows() const { return table_.rows.size(); }
    std::string& cell(std::size_t row, std::string_view column) {
        return table_.rows[row][static_cast<std::size_t>(column_(column))];
    }
    void fill(std::size_t row, std::string_view column, const std::string& text) {
        if (trim(cell(row, column)).empty() && !text.empty()) cell(row, column) = text;
    }
    std::size_t add_row() {
        table_.rows.emplace_back(table_.header.size());
        table_.lines.push_back(0);
        return rows() - 1;
    }
    std::string next_id() { return fmt::format("T{:03}", ++last_id_); }
    char decimal() const { return decimal_; }
    text::CsvTable take() { return std::move(table_); }

  private:
    void note_id(std::string_view id) {
        id = trim(id);
        if (id.size() < 2 || (id.front() != 'T' && id.front() != 't')) return;
        const auto number = parse_integer(id.substr(1));
        if (number && *number > last_id_ && *number < 1'000'000'000) last_id_ = *number;
    }

    text::CsvTable table_;
    text::Columns column_;
    char decimal_;
    long long last_id_ = 0;
};

void fill_size(Sheet& sheet, std::size_t row, const MediaInfo& media) {
    sheet.fill(row, "bytes", fmt::format("{}", media.bytes));
    sheet.fill(row, "duration_s", duration_cell(media, sheet.decimal()));
}

// "25", "29.97"; as in the list of a file's properties, for the eye.
std::string rate_cell(const MediaInfo& media, char decimal) {
    if (!media.has_video) return {};
    std::string cell = media.variable_rate ? fmt::format("variable {:.4g}", media.average_fps)
                                           : fmt::format("{:.5g}", media.average_fps);
    std::ranges::replace(cell, '.', decimal);
    return cell;
}

std::string camera_cell(const FoundClip& clip, const std::string& file) {
    return clip.camera.empty() ? camera_of(file) : clip.camera;
}

void fill_facts(Sheet& sheet, std::size_t row, const FoundClip& clip) {
    fill_size(sheet, row, clip.media);
    sheet.fill(row, "began", clip.began);
    sheet.fill(row, "file_fps", rate_cell(clip.media, sheet.decimal()));
    sheet.fill(row, "has_sound", clip.media.audio ? "yes" : "no");
}

} // namespace

std::string camera_of(const std::string& file) {
    const std::string key = tidy(file);
    for (auto folder = std::filesystem::path(key).parent_path(); folder.has_filename();
         folder = folder.parent_path()) {
        const std::string name = folder.filename().string();
        if (name == ".." || name == ".") return {};
        if (!card_folder(name)) return like_a_formula(name) ? std::string() : name;
        if (!folder.has_parent_path()) break;
    }
    return {};
}

Kind guessed_kind(const FoundClip& clip) {
    return guessed_kind(clip, contacts_cell(clip));
}

Merged merge(const text::CsvTable& table, std::span<const FoundClip> found, const FileKey& given) {
    const auto file_key = [&](const std::string& file) {
        const std::string written(trim(file));
        return given ? given(written) : tidy(written);
    };
    Sheet sheet(table);
    Merged merged;
    std::map<std::string, const FoundClip*> clips;
    for (const FoundClip& clip : found)
        clips.emplace(file_key(safe_file(clip.file)), &clip);

    std::set<std::string> known, gone;
    for (std::size_t row = 0; row < sheet.rows(); ++row) {
        const std::string file(trim(sheet.cell(row, "file")));
        if (file.empty()) continue;
        sheet.fill(row, "id", trim(sheet.cell(row, "id")).empty() ? sheet.next_id() : "");
        const std::string key = file_key(file);
        known.insert(key);
        const auto clip = clips.find(key);
        if (clip == clips.end()) {
            if (gone.insert(key).second) merged.gone.push_back(file);
            continue;
        }
        sheet.fill(row, "camera", camera_cell(*clip->second, file));
        sheet.fill(row, "contacts", contacts_cell(*clip->second));
        sheet.fill(row, "moment", clip->second->moment);
        // A row that somebody entered without saying what it is.
        if (trim(sheet.cell(row, "kind")).empty()) {
            sheet.cell(row, "kind") = to_string(guessed_kind(*clip->second, sheet.cell(row, "contacts")));
            sheet.fill(row, "note", std::string(kind_guessed));
        }
        fill_facts(sheet, row, *clip->second);
    }
    for (const FoundClip& clip : found) {
        if (!known.insert(file_key(safe_file(clip.file))).second) continue;
        const std::size_t row = sheet.add_row();
        sheet.cell(row, "id") = sheet.next_id();
        sheet.cell(row, "file") = safe_file(clip.file);
        sheet.cell(row, "reel") = clip.reel;
        sheet.cell(row, "camera") = camera_cell(clip, clip.file);
        sheet.cell(row, "kind") = to_string(clip.kind.value_or(guessed_kind(clip)));
        sheet.cell(row, "contacts") = contacts_cell(clip);
        sheet.cell(row, "moment") = clip.moment;
        sheet.cell(row, "note") = std::string(kind_guessed) + (clip.media.audio ? "" : ", no sound") +
                                  (clip.note.empty() ? "" : "; " + clip.note);
        fill_facts(sheet, row, clip);
        ++merged.added;
    }
    merged.table = sheet.take();
    return merged;
}

text::CsvTable with_new_places(text::CsvTable table, const std::map<std::string, std::string>& places) {
    const int column = table.column("file");
    if (column < 0) return table;
    for (auto& row : table.rows) {
        std::string& cell = row[static_cast<std::size_t>(column)];
        const auto place = places.find(std::string(trim(cell)));
        if (place != places.end()) cell = safe_file(place->second);
    }
    return table;
}

} // namespace downball::shotlog
