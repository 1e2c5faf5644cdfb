// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/text/json.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace downball::analysis {

inline constexpr std::uint64_t usual_most_bytes = 500'000'000;

// One small file of an analysis folder. `versions`: of its form and of all that found it, in an order that is its own.
struct Document {
    std::string name; // "<content id>.clip.json"
    std::string kind; // "clip"
    std::vector<int> versions;
};

// A file as it was when its content was read.
struct Identity {
    std::string path;
    std::string id; // hash of its content, see media/content_id.h
    std::uint64_t bytes = 0;
    std::int64_t modified_ns = 0, changed_ns = 0; // the two times of stat(2), since 1970
};

// Keeps what was found in media files, by their content, so that it need not be found again. All of it can be found
// anew: what is damaged, unreadable or of another version, or cannot be written, is passed over with a note; files of
// newer versions stay. Several threads may use one folder, and several processes, on several machines: each file appears
// whole or not at all.
class Folder {
  public:
    // An empty path keeps nothing. The folder is made when there is something to keep.
    explicit Folder(std::string path = {}, std::uint64_t most_bytes = usual_most_bytes);
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder(); // without close(): as if nothing new had been seen

    // What the file's content is. It is read only if size or times of the file are not those of the last run. Errors:
    // missing, a folder, unreadable, empty.
    Result<Identity> identify(const std::string& path);
    // Has the file at that path still this content? What is made of another one must not be kept under this one's id.
    bool holds(const std::string& path, const std::string& id);
    // Has no file been identified with one content and later with another?
    bool steady() const;
    // Is the file still as it was identified? A clip that is being copied grows.
    static bool stands(const Identity& file);

    // What was kept under that name by these versions; nothing where there is none that can be trusted.
    std::optional<text::Json> find(const Document& document);
    void keep(const Document& document, text::JsonObject found);
    // Where the document lies, if it was found or kept; empty if not.
    std::string path_of(const Document& document) const;
    // What was met when something was to be kept; nothing more is written then, unless it was a folder in the place of
    // one document.
    std::optional<Error> write_problem() const;

    // Writes down what was seen; if the folder has grown beyond `most_bytes`, drops what was not used for the longest
    // time, nothing of this run. What could not be trusted or kept, a line each.
    std::vector<std::string> close();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace downball::analysis
