// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// What listening gives where a folder has it already: see listen.h.
#include "analysis/clip_text.h"
#include "analysis/song_text.h"
#include "unit/media/clips.h"

#include "downball/analysis/listen.h"
#include "downball/base/text.h"
#include "downball/files/files.h"
#include "downball/media/content_id.h"

#include <filesystem>

using namespace downball;
using namespace downball::test;
using analysis::Folder;

namespace {

// Two seconds of pictures, with clicks in the sound.
void film(const std::string& path, const std::string& options = {}) {
    TempFolder parts;
    write_clicks(parts / "clicks.wav", 48000, 1);
    ffmpeg(bars("25") + "-i " + (parts / "clicks.wav") + " " + h264 + "-c:a pcm_s16le " + options + " " +
           path);
}

std::string text_of(const analysis::ClipFound& clip) {
    return text::to_text(analysis::to_json(clip)) + clip.media.path + clip.media.name;
}

// Found in the folder rather than in the clip: what only the folder says.
void forge(const std::string& folder, const std::string& clip, const std::vector<Heard>& contacts) {
    const auto document = analysis::clip_document(*media::content_id(clip));
    Folder before(folder);
    const auto found = before.find(document);
    REQUIRE(found);
    auto forged = analysis::clip_from(*found);
    REQUIRE(forged);
    forged->hearing = Hearing{contacts, 0.125, {"forged"}};
    before.keep(document, analysis::to_json(*forged));
    REQUIRE(before.close().empty());
}

} // namespace

TEST_CASE("a clip from the folder is as it was found") {
    TempFolder place;
    film(place / "a.mov", "-timecode '01:00:00:05' -metadata reel_name=R7");
    Folder none;
    const auto fresh = analysis::find_clip(place / "a.mov", true, none);
    REQUIRE(fresh);
    REQUIRE(fresh->hearing);
    CHECK_FALSE(fresh->hearing->contacts.empty());
    std::string kept_at;
    for (int run = 0; run < 3; ++run) {
        Folder folder(place / "analysis");
        const auto found = analysis::find_clip(place / "a.mov", true, folder, {}, &kept_at);
        REQUIRE(found);
        CHECK(text_of(*found) == text_of(*fresh));
        CHECK(kept_at == place / "analysis/" + fresh->media.id + ".clip.json");
        CHECK(folder.close().empty());
    }
    forge(place / "analysis", place / "a.mov", {{0.5, 0.75, 1, 0, 0}});
    Folder folder(place / "analysis");
    CHECK(analysis::find_clip(place / "a.mov", true, folder)->hearing->contacts.size() == 1);
}

TEST_CASE("another floor needs no second hearing, and takes what the first one would have") {
    TempFolder place;
    film(place / "a.mov");
    const auto heard = [&](const std::string& kept, double floor) {
        Folder folder(kept);
        auto surveyed = analysis::survey({{place / "a.mov"}}, floor, folder);
        REQUIRE(surveyed);
        return surveyed->heard.at(place / "a.mov");
    };
    for (const double floor : {0.5, 0.0, 0.25}) {
        const auto fresh = heard("", floor), kept = heard(place / "analysis", floor);
        REQUIRE(fresh.contacts.size() == kept.contacts.size());
        for (std::size_t i = 0; i < fresh.contacts.size(); ++i) {
            CHECK(fresh.contacts[i].sound_s == kept.contacts[i].sound_s);
            CHECK(fresh.contacts[i].strength == kept.contacts[i].strength);
            CHECK(fresh.contacts[i].rally == kept.contacts[i].rally);
        }
    }
    forge(place / "analysis", place / "a.mov",
          {{0.25, 0.125, 1, 0, -1}, {0.5, 0.375, 1, 0, -1}, {1, 0.75, 1, 0, 0}});
    CHECK(heard(place / "analysis", 0).contacts.size() == 3);
    CHECK(heard(place / "analysis", 0.375).contacts.size() == 2);
    CHECK(heard(place / "analysis", 0.5).contacts.size() == 1);
    CHECK(heard(place / "analysis", 0.5).notes == std::vector<std::string>{"forged"});
}

TEST_CASE("who only asks what a clip is takes no hearing away, and a hearing follows where there is none") {
    TempFolder place;
    film(place / "a.mov");
    const auto found = [&](bool listen) {
        Folder folder(place / "analysis");
        const auto clip = analysis::find_clip(place / "a.mov", listen, folder);
        REQUIRE(clip);
        CHECK(folder.close().empty());
        return clip->hearing.has_value();
    };
    CHECK_FALSE(found(false));
    CHECK(found(true));
    CHECK(found(false));
    // Both at once, by two folders that know nothing of each other: the one that began first ends last.
    std::filesystem::remove_all(place / "analysis");
    Folder slow(place / "analysis"), quick(place / "analysis");
    const auto document = analysis::clip_document(*media::content_id(place / "a.mov"));
    CHECK_FALSE(slow.find(document));
    REQUIRE(analysis::find_clip(place / "a.mov", true, quick));
    const auto kept = *files::read_text(quick.path_of(document));
    REQUIRE(analysis::find_clip(place / "a.mov", false, slow));
    CHECK(*files::read_text(quick.path_of(document)) == kept);
}

TEST_CASE("a clip with text that is no UTF-8 is found and not kept") {
    TempFolder place;
    film(place / "a.mov", "-movflags use_metadata_tags -metadata make='K\xe4mera'");
    REQUIRE_FALSE(valid_utf8(must_probe(place / "a.mov").device));
    for (int run = 0; run < 2; ++run) {
        Folder folder(place / "analysis");
        std::string kept_at = "somewhere";
        const auto clip = analysis::find_clip(place / "a.mov", true, folder, {}, &kept_at);
        REQUIRE(clip);
        CHECK(clip->media.device == "K\xe4mera");
        CHECK(kept_at.empty());
        CHECK(folder.close().empty());
    }
    std::error_code ignored;
    for (const auto& entry : std::filesystem::directory_iterator(place / "analysis", ignored))
        CHECK(entry.path().extension() != ".json");
}

TEST_CASE("a copy under another name needs no second hearing, and bears its own name") {
    TempFolder place;
    film(place / "a.mov");
    std::filesystem::copy_file(place / "a.mov", place / "b.mov");
    {
        Folder folder(place / "analysis");
        REQUIRE(analysis::find_clip(place / "a.mov", true, folder));
    }
    forge(place / "analysis", place / "a.mov", {});
    Folder folder(place / "analysis");
    const auto copy = analysis::find_clip(place / "b.mov", true, folder);
    REQUIRE(copy);
    CHECK(copy->hearing->notes == std::vector<std::string>{"forged"});
    CHECK(copy->media.name == "b.mov");
    CHECK(copy->media.path == place / "b.mov");
}

TEST_CASE("sound that cannot be listened to is remembered as such") {
    TempFolder place;
    ffmpeg(bars("25", 1) + "-f lavfi -i sine=r=4000:d=1 " + h264 + "-c:a pcm_s16le " + (place / "film.mov"));
    std::string first;
    for (int run = 0; run < 2; ++run) {
        Folder folder(place / "analysis");
        const auto surveyed = analysis::survey({{place / "film.mov"}}, 0.5, folder);
        REQUIRE(surveyed);
        REQUIRE(surveyed->unheard.contains(place / "film.mov"));
        const auto& told = surveyed->unheard.at(place / "film.mov").what;
        CHECK(told.find("4000 samples a second") != std::string::npos);
        if (run == 0) first = told;
        CHECK(told == first);
    }
}

TEST_CASE("a song from the folder is as it was found, and each thing said of it is kept by itself") {
    TempFolder place;
    ffmpeg("-f lavfi -i \"aevalsrc='(random(0)-0.5)*exp(-40*mod(t,0.5))':s=44100:d=24\" -c:a pcm_s16le " +
           (place / "song.wav"));
    const auto text_of_song = [&](const std::string& kept, const SongHints& hints) {
        Folder folder(kept);
        const auto song = analysis::find_song(place / "song.wav", hints, folder);
        REQUIRE(song);
        CHECK(folder.close().empty());
        return text::to_text(analysis::to_json(song->beats)) +
               text::to_text(analysis::media_to_json(song->media));
    };
    const SongHints half{.tempo = TempoHint::half};
    for (const auto& hints : {SongHints(), half}) {
        const auto fresh = text_of_song("", hints);
        CHECK(text_of_song(place / "analysis", hints) == fresh);
        CHECK(text_of_song(place / "analysis", hints) == fresh);
    }
    // Beats that only the folder has.
    const auto id = *media::content_id(place / "song.wav");
    BeatGrid forged;
    forged.tempo_bpm = 99;
    Folder folder(place / "analysis");
    folder.keep(analysis::song_document(id, half), analysis::to_json(forged));
    CHECK(analysis::find_song(place / "song.wav", half, folder)->beats.tempo_bpm == 99);
    CHECK(analysis::find_song(place / "song.wav", {}, folder)->beats.tempo_bpm == Approx(120).epsilon(0.001));
}

TEST_CASE("a survey does not depend on what the folder has") {
    TempFolder place;
    film(place / "a.mov");
    film(place / "b.mov", "-t 1.5");
    write_clicks(place / "c.wav", 44100, 2);
    std::ofstream(place / "d.mov") << "no film at all\n";
    const auto told = [&](const std::string& kept) {
        Folder folder(kept);
        const auto surveyed = analysis::survey({{place / "a.mov"},
                                                {place / "b.mov", false},
                                                {place / "c.wav"},
                                                {place / "d.mov"},
                                                {place / "none.mov"}},
                                               0.5, folder);
        REQUIRE(surveyed);
        std::string all;
        for (const auto& [path, media] : surveyed->media)
            all += path + text::to_text(analysis::media_to_json(media));
        for (const auto& [path, hearing] : surveyed->heard)
            all += path + text::to_text(analysis::to_json({{}, hearing, ""}));
        for (const auto& [path, error] : surveyed->failed)
            all += to_string(error);
        CHECK(surveyed->failed.size() == 2);
        CHECK(surveyed->heard.size() == 2);
        return all;
    };
    const auto fresh = told("");
    CHECK(told(place / "analysis") == fresh);
    CHECK(told(place / "analysis") == fresh);
}
