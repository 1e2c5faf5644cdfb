// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later

// Source of every expected value here: the ffprobe and ffmpeg programs (FFmpeg 5.1), run on the same files.
#include "unit/media/clips.h"

#include "downball/base/text.h"
#include "downball/media/probe.h"
#include "downball/text/json.h"

#include <cstring>

using namespace downball;
using namespace downball::test;

namespace {

std::string output_of(const std::string& command) {
    INFO(command);
    auto* pipe = ::popen(command.c_str(), "r");
    REQUIRE(pipe);
    std::string text;
    char buffer[4096];
    for (std::size_t got; (got = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;)
        text.append(buffer, got);
    REQUIRE(::pclose(pipe) == 0);
    return text;
}

text::Json ffprobe(const std::string& path, const std::string& what) {
    auto json = text::parse_json(output_of("ffprobe -v error -of json " + what + " " + path), path);
    REQUIRE(json);
    return *json;
}

// Numbers stand in strings in that program's JSON; fractions as "30000/1001".
double number(const text::Json* value) {
    REQUIRE(value);
    const auto& text = value->string();
    const auto slash = text.find('/');
    const auto top = parse_number(text.substr(0, slash));
    const auto below = slash == std::string::npos ? 1.0 : parse_number(text.substr(slash + 1)).value_or(0);
    REQUIRE(top);
    REQUIRE(below != 0);
    return *top / below;
}

const text::Json* find_stream(const text::Json& json, const std::string& kind) {
    for (const auto& stream : json.find("streams")->array()) {
        const auto* disposition = stream.find("disposition");
        if (disposition && disposition->find("attached_pic")->integer() == 1) continue;
        if (stream.find("codec_type")->string() == kind) return &stream;
    }
    return nullptr;
}

// The clicks in the program's own decode, each placed by the time it states for the frame it lies in.
std::vector<double> reference_clicks(const std::string& path, const text::Json& seen, int rate_hz) {
    const auto raw = output_of("ffmpeg -nostdin -v error -i " + path + " -map 0:a:0 -f f32le -ac 1 -");
    std::vector<float> samples(raw.size() / sizeof(float));
    std::memcpy(samples.data(), raw.data(), samples.size() * sizeof(float));

    std::optional<double> zero_s;
    std::vector<std::pair<double, double>> frames; // seconds from the first sample, stated seconds
    double decoded = 0;
    for (const auto& frame : seen.find("frames")->array()) {
        const bool sound = frame.find("media_type")->string() == "audio";
        if (const auto* at = frame.find("pts_time")) {
            if (!sound && !zero_s) zero_s = number(at);
            if (sound) frames.emplace_back(decoded / rate_hz, number(at));
        }
        if (sound) decoded += static_cast<double>(frame.find("nb_samples")->integer());
    }
    REQUIRE_FALSE(frames.empty());
    auto clicks = find_clicks(samples, rate_hz);
    for (auto& at : clicks) {
        const auto later = std::ranges::upper_bound(frames, at, {}, &std::pair<double, double>::first);
        const auto& [from_s, stated_s] = *std::prev(later);
        at += stated_s - from_s - zero_s.value_or(frames.front().second);
    }
    return clicks;
}

const std::string look = "-show_streams -show_format -show_frames "
                         "-show_entries stream:format:frame=media_type,pts_time,nb_samples";

struct Case {
    std::string name, arguments;
};

// One clip of each kind that cameras, phones, recorders and editors hand over.
std::vector<Case> matrix(const TempFolder& folder) {
    const auto w48 = "-i " + (folder / "48.wav") + " ", w44 = "-i " + (folder / "44.wav") + " ";
    return {
        {"camera.mp4", bars("25") + w48 + h264 + "-c:a aac"},
        {"late.mp4", bars("25") + "-itsoffset 0.2 " + w48 + h264 + "-c:a aac"},
        {"early.mp4", "-itsoffset 0.12 " + bars("25") + w48 + h264 + "-c:a aac"},
        {"fragmented.mp4", bars("25") + w48 + h264 + "-c:a aac -movflags frag_keyframe+empty_moov"},
        {"pcm.mov", bars("25") + w48 + "-c:v mpeg4 -c:a pcm_s16le -timecode 10:00:00:00"},
        {"drop.mov", bars("30000/1001") + w48 + h264 + "-c:a pcm_s16le -timecode '01:00:59;28'"},
        {"c.mkv", bars("25") + w48 + h264 + "-c:a aac"},
        {"pcm.mkv", bars("60000/1001") + "-r 60000/1001 " + w44 + h264 + "-c:a pcm_s16le"},
        {"c.webm", bars("25") + w48 + "-c:v libvpx -deadline realtime -c:a libopus"},
        {"c.ts", bars("50") + w48 + h264 + "-c:a aac"},
        {"mp2.ts", bars("25") + w48 + "-c:v mpeg2video -bf 2 -c:a mp2"},
        {"c.avi", bars("25") + w48 + "-c:v mpeg4 -c:a pcm_s16le"},
        {"turned.mp4", bars("30") + w44 + h264 + "-c:a aac -metadata:s:v rotate=90"},
        {"c.aac", w44 + "-c:a aac"},
        {"tagged.mp3", w44 + "-c:a libmp3lame"},
        {"untagged.mp3", w44 + "-c:a libmp3lame -write_xing 0"},
        {"c.flac", w44 + "-c:a flac"},
        {"c.wav", w48 + "-c:a pcm_s24le"},
        {"c.ogg", w44 + "-c:a libvorbis"},
        {"c.opus", w48 + "-c:a libopus"},
        {"c.m4a", w44 + "-c:a aac"},
        {"c.ac3", w48 + "-c:a ac3"},
    };
}

void compare_picture(const MediaInfo& info, const text::Json& seen) {
    const auto* track = find_stream(seen, "video");
    REQUIRE(info.has_video == (track != nullptr));
    if (!track) return;
    CHECK(info.width == track->find("width")->integer());
    CHECK(info.height == track->find("height")->integer());
    CHECK(info.average_fps == Approx(number(track->find("avg_frame_rate"))).epsilon(0.0005));
    REQUIRE(info.rate);
    // Containers that state no length of the picture state that of the whole, which begins with the sound.
    const auto* length = track->find("duration");
    const auto tolerance = length ? 1 / info.average_fps : 2 / info.average_fps;
    const auto length_s = number(length ? length : seen.find("format")->find("duration"));
    CHECK(std::abs(info.duration_s - length_s) <= tolerance + 1e-6);

    double turned = 0; // counterclockwise there, clockwise here
    if (const auto* extras = track->find("side_data_list"))
        for (const auto& extra : extras->array())
            if (const auto* angle = extra.find("rotation")) turned = angle->number();
    CHECK(info.rotation == (static_cast<int>(-turned) + 360) % 360);

    const auto* tags = track->find("tags");
    const auto* label = tags ? tags->find("timecode") : nullptr;
    REQUIRE(info.start.has_value() == (label != nullptr));
    if (label) CHECK(info.start->label == label->string());
}

void compare_sound(const MediaInfo& info, const text::Json& seen, const std::string& path) {
    const auto* track = find_stream(seen, "audio");
    REQUIRE(track);
    REQUIRE(info.audio);
    CHECK(info.audio->rate_hz == static_cast<int>(number(track->find("sample_rate"))));
    CHECK(info.audio->channels == track->find("channels")->integer());

    const auto sound = read_sound(path);
    const auto ours = clicks_of(sound), theirs = reference_clicks(path, seen, sound.rate_hz);
    REQUIRE(ours.size() == click_instants.size());
    REQUIRE(theirs.size() == ours.size());
    for (std::size_t i = 0; i < ours.size(); ++i)
        CHECK(std::abs(ours[i] - theirs[i]) < 0.001);
}

} // namespace

TEST_CASE("rate, length, rotation, label and clicks are those ffprobe and ffmpeg give") {
    TempFolder folder;
    write_clicks(folder / "48.wav", 48000, 2);
    write_clicks(folder / "44.wav", 44100, 2);
    for (const auto& c : matrix(folder)) {
        CAPTURE(c.name);
        const auto path = folder / c.name;
        ffmpeg(c.arguments + " " + path);
        const auto info = media::probe(path);
        REQUIRE(info);
        const auto seen = ffprobe(path, look);
        compare_picture(*info, seen);
        compare_sound(*info, seen, path);
    }
}

TEST_CASE("the rates of the trade are those ffprobe gives") {
    TempFolder folder;
    for (const std::string rate :
         {"24000/1001", "24", "30000/1001", "30", "50", "60000/1001", "60", "100", "120000/1001", "120"}) {
        CAPTURE(rate);
        const auto path = folder / "c.mp4";
        ffmpeg(bars(rate, 0.5) + "-r " + rate + " " + h264 + path);
        const auto info = media::probe(path);
        REQUIRE(info);
        REQUIRE(info->rate);
        CHECK(to_string(*info->rate) == rate);
        compare_picture(*info, ffprobe(path, "-show_streams -show_format"));
    }
}

TEST_CASE("the pictures of a variable-rate clip are shown when ffprobe shows them") {
    TempFolder folder;
    const auto path = folder / "phone.mp4";
    ffmpeg(bars("30", 1) +
           "-vf settb=1/90000,setpts='(N+0.3*sin(N))/30/TB' -vsync vfr -enc_time_base 1/90000 "
           "-video_track_timescale 90000 " +
           h264 + path);
    const auto info = media::probe(path);
    REQUIRE(info);
    REQUIRE(info->variable_rate);
    const auto json = ffprobe(path, "-select_streams v:0 -show_entries frame=pts_time");
    const auto& frames = json.find("frames")->array();
    REQUIRE(frames.size() == info->frames.shown_s.size());
    const auto zero_s = number(frames.front().find("pts_time"));
    for (std::size_t k = 0; k < frames.size(); ++k)
        CHECK(std::abs(info->frames.shown_s[k] - (number(frames[k].find("pts_time")) - zero_s)) < 2e-6);
}
