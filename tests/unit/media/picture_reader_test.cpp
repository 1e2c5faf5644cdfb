// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/counter_clips.h"

#include "downball/media/picture_reader.h"
#include "downball/media/probe.h"

#include <filesystem>
#include <random>

using namespace downball;
using namespace downball::test;

namespace {

const std::string coded = "-c:v libx264 -preset veryfast -bf 3 -g 30 ";

media::PictureReader must_open(const std::string& path, std::optional<Rate> rate,
                               media::PictureOptions options = {.width = 160, .height = 90, .rate = {}}) {
    options.rate = rate;
    auto reader = media::PictureReader::open(path, options);
    INFO((reader ? std::string() : to_string(reader.error())));
    REQUIRE(reader);
    return std::move(*reader);
}

int number_at(media::PictureReader& reader, Fraction media_s) {
    const auto picture = reader.picture_at(media_s);
    INFO((picture ? std::string() : to_string(picture.error())));
    REQUIRE(picture);
    return number_in(**picture);
}

struct Packet {
    std::optional<long long> pts;
    bool key;
};

// Of the pictures, as the ffprobe program lists them.
std::vector<Packet> packets_of(const std::string& path) {
    REQUIRE(std::system(("ffprobe -v quiet -select_streams v -show_entries packet=pts,flags -of csv=p=0 " +
                         path + " > " + path + ".txt")
                            .c_str()) == 0);
    std::ifstream list(path + ".txt");
    std::vector<Packet> packets;
    for (std::string line; std::getline(list, line);)
        if (!line.empty()) {
            Packet packet{{}, line.find('K') != std::string::npos};
            if (line[0] != 'N') packet.pts = std::stoll(line);
            packets.push_back(packet);
        }
    return packets;
}

// Whatever is asked for, in whatever order, is what the file's FrameTable says; by its times alone too.
void check_all(const std::string& path, std::size_t count, bool own_times_too = true) {
    CAPTURE(path);
    const auto info = must_probe(path);
    auto counted = must_open(path, info.rate);
    auto timed = must_open(path, std::nullopt);
    const auto check = [&](Fraction at) {
        CAPTURE(at.num(), at.den());
        const auto expected = std::min<std::int64_t>(info.frames.picture_at(at.to_double()),
                                                     static_cast<std::int64_t>(count) - 1);
        CHECK(number_at(counted, at) == expected);
        if (own_times_too) CHECK(number_at(timed, at) == expected);
    };
    // What was said to be asked next must not change what comes.
    std::vector<Fraction> some;
    for (std::int64_t k = 0; k < 60; ++k)
        some.push_back(Fraction(2 * k + 1, 50));
    auto told = must_open(path, info.rate);
    told.expect(some);
    for (std::size_t k = 0; k < 50; ++k)
        CHECK(number_at(told, some[k]) == std::min<std::int64_t>(info.frames.picture_at(some[k].to_double()),
                                                                 static_cast<std::int64_t>(count) - 1));
    told.expect({Fraction(9, 5)});
    for (const auto at : {Fraction(1, 5), Fraction(6, 5), Fraction(63, 50), Fraction(9, 5)})
        CHECK(number_at(told, at) == info.frames.picture_at(at.to_double()));
    // Steps of a list at several speeds, on ties too; then here and there.
    for (const auto step : {Fraction(1, 25), Fraction(1, 100), Fraction(1001, 24000), Fraction(3, 50)})
        for (std::int64_t k = -1; (Fraction(2 * k + 1, 2) * step).to_double() < 2.2; ++k)
            check(Fraction(2 * k + 1, 2) * step);
    std::mt19937 dice(7);
    for (int i = 0; i < 40; ++i)
        check(Fraction(static_cast<std::int64_t>(dice() % 2100), 1000));
}

} // namespace

TEST_CASE("the picture at an instant is the last one presented, at every rate") {
    TempFolder folder;
    for (const auto* rate : {"24", "24000/1001", "25", "30000/1001", "30", "50", "60000/1001", "60", "100",
                             "120000/1001", "120"}) {
        CAPTURE(rate);
        const auto path = folder / "c.mp4";
        ffmpeg(counter(rate) + "-r " + rate + " " + coded + path);
        check_all(path, static_cast<std::size_t>(
                            std::llround(must_probe(path).duration_s * must_probe(path).average_fps)));
    }
}

TEST_CASE("the picture at an instant, at a variable rate") {
    TempFolder folder;
    ffmpeg(counter("30") +
           "-vf settb=1/90000,setpts='(N+0.35*sin(N*1.7))/30/TB' -vsync vfr -enc_time_base 1/90000 "
           "-video_track_timescale 90000 " +
           coded + (folder / "phone.mp4"));
    REQUIRE(must_probe(folder / "phone.mp4").variable_rate);
    check_all(folder / "phone.mp4", 60);
}

TEST_CASE("the picture at an instant, out of other containers and codings") {
    TempFolder folder;
    ffmpeg(counter("50") + "-r 50 " + coded + (folder / "c.mkv"));
    check_all(folder / "c.mkv", 100);
    ffmpeg(counter("50") + "-r 50 " + coded + (folder / "c.ts"));
    check_all(folder / "c.ts", 100);
    ffmpeg(counter("25") + "-c:v mjpeg -q:v 2 " + (folder / "c.avi"));
    check_all(folder / "c.avi", 50);
    ffmpeg(counter("25") + "-c:v mpeg2video -q:v 2 -bf 2 -g 12 " + (folder / "c.mpg"));
    check_all(folder / "c.mpg", 50);
    ffmpeg(counter("50") + "-r 50 " + coded + "-x264-params open-gop=1:keyint=10:min-keyint=10:scenecut=0 " +
           (folder / "open.mp4"));
    check_all(folder / "open.mp4", 100);
    ffmpeg(counter("50") +
           "-r 50 -c:v libx265 -x265-params log-level=none:keyint=10:min-keyint=10:bframes=3 " +
           (folder / "hevc.mp4"));
    check_all(folder / "hevc.mp4", 100);
}

TEST_CASE("where a container rounds times, they count as the file has them") {
    TempFolder folder;
    ffmpeg(counter("30") + "-r 30 " + coded + (folder / "c.mkv"));
    auto reader = must_open(folder / "c.mkv", Rate(30));
    // Picture 2 is up from 67 ms on, not from 66.7 ms; picture 1 from 33 ms, not from 33.3 ms.
    CHECK(number_at(reader, Fraction(2, 30)) == 1);
    CHECK(number_at(reader, Fraction(67, 1000)) == 2);
    CHECK(number_at(reader, Fraction(33, 1000)) == 1);
    CHECK(number_at(reader, Fraction(329, 10000)) == 0);
}

TEST_CASE("where an edit list cuts off the head, the first picture shown is zero") {
    TempFolder folder;
    ffmpeg(counter("25", 4) + coded + "-x264-params keyint=25:scenecut=0 " + (folder / "whole.mp4"));
    ffmpeg("-ss 1.4 -i " + (folder / "whole.mp4") + " -c copy " + (folder / "cut.mp4"));
    auto reader = must_open(folder / "cut.mp4", Rate(25));
    const int first = number_at(reader, Fraction(0));
    CHECK(first == 35);
    for (const int k : {0, 1, 7, 30, 3, 0})
        CHECK(number_at(reader, Fraction(k, 25)) == first + k);
}

TEST_CASE("a transport stream whose clock jumps is read on as one clip") {
    TempFolder folder;
    ffmpeg(counter("25", 2) + coded + "-output_ts_offset 50 " + (folder / "a.ts"));
    const auto read = [](const std::string& path) {
        std::ifstream file(path, std::ios::binary);
        return std::string(std::istreambuf_iterator<char>(file), {});
    };
    const auto bytes = read(folder / "a.ts");
    ffmpeg(counter("25", 2) + coded + "-output_ts_offset 5 " + (folder / "b.ts"));
    std::ofstream(folder / "both.ts", std::ios::binary) << bytes << read(folder / "b.ts");
    auto reader = must_open(folder / "both.ts", Rate(25));
    for (const int k : {0, 10, 49, 50, 51, 75, 99, 12, 60})
        CHECK(number_at(reader, Fraction(k, 25)) == k % 50);
}

TEST_CASE("a stream cut in the middle of a group of pictures is shown by its times") {
    TempFolder folder;
    // Noise, so that no two pictures share a packet of the container, where only the first has a time.
    ffmpeg(counter("25", 4) +
           "-vf noise=alls=40:allf=t -c:v mpeg2video -q:v 2 -bf 2 -g 12 -sc_threshold 1000000000 " +
           (folder / "whole.mpg"));
    const auto first = packets_of(folder / "whole.mpg").front().pts;
    REQUIRE(first);
    std::ifstream file(folder / "whole.mpg", std::ios::binary);
    const std::string bytes(std::istreambuf_iterator<char>(file), {});
    // What is left of the first picture has no time.
    std::vector<Packet> packets;
    const auto path = folder / "cut.mpg";
    for (auto at = bytes.size() / 8; at < bytes.size() / 2; at += 700) {
        std::ofstream(path, std::ios::binary) << bytes.substr(at);
        packets = packets_of(path);
        if (!packets.front().pts && !packets.front().key) break;
    }
    REQUIRE_FALSE(packets.front().pts);
    const auto key = std::ranges::find_if(packets, &Packet::key);
    REQUIRE(key != packets.end());
    auto earliest = *key->pts;
    for (auto packet = key; packet != packets.end(); ++packet) {
        REQUIRE(packet->pts);
        earliest = std::min(earliest, *packet->pts);
    }
    const auto number = [&](long long pts) { return static_cast<int>((pts - *first) / (90000 / 25)); };
    const int zero = number(earliest), shown = number(*key->pts) - zero;
    REQUIRE(shown > 0); // pictures that cannot be decoded come before
    auto reader = must_open(path, Rate(25));
    for (const int k : {shown, shown + 1, shown + 20, shown + 2, shown + 40, 0})
        CHECK(number_at(reader, Fraction(k, 25)) == zero + std::max(k, shown));
}

TEST_CASE("readers that share key tables read a file without an index as a whole but once") {
    TempFolder folder;
    const auto path = folder / "c.ts";
    // Noise that makes it much larger than what is read to know its tracks.
    ffmpeg(
        "-f lavfi -i \"nullsrc=s=640x360:r=25:d=8,format=gray\" -vf noise=alls=100:allf=t -pix_fmt yuv420p "
        "-c:v mpeg2video -q:v 2 -g 12 " +
        path);
    const auto size = static_cast<long long>(std::filesystem::file_size(path));
    REQUIRE(size > 20'000'000);
    // Bytes read by this process so far (proc(5), /proc/pid/io).
    const auto read = [] {
        std::ifstream file("/proc/self/io");
        std::string name;
        long long bytes = -1;
        file >> name >> bytes;
        return bytes;
    };
    media::PictureOptions options{.width = 160, .height = 90, .rate = {}};
    options.key_tables = media::make_key_tables();
    const auto before = read();
    auto first = must_open(path, Rate(25), options);
    const auto between = read();
    auto second = must_open(path, Rate(25), options);
    const auto after = read();
    CHECK(between - before >= size);
    CHECK(after - between < size / 2);
    for (const Fraction at : {Fraction(7), Fraction(1), Fraction(4)}) {
        const auto a = first.picture_at(at), b = second.picture_at(at);
        REQUIRE(a);
        REQUIRE(b);
        CHECK((*a)->bytes == (*b)->bytes);
    }
}

TEST_CASE("pictures are turned as players turn them") {
    TempFolder folder;
    // Upper left quarter white, seen as coded.
    ffmpeg("-f lavfi -i \"nullsrc=s=160x90:r=25:d=0.2,format=gray,geq=lum='255*lt(X\\,80)*lt(Y\\,45)'\" "
           "-pix_fmt yuv420p " +
           h264 + (folder / "0.mp4"));
    struct Case {
        int degrees;
        bool right, bottom; // where the white quarter goes
    };
    for (const Case& c : {Case{90, true, false}, Case{180, true, true}, Case{270, false, true}}) {
        CAPTURE(c.degrees);
        // The program's tag counts the other way round.
        const auto path = folder / fmt::format("{}.mp4", c.degrees);
        ffmpeg("-i " + (folder / "0.mp4") +
               fmt::format(" -c copy -metadata:s:v rotate={} ", 360 - c.degrees) + path);
        REQUIRE(must_probe(path).rotation == c.degrees);
        for (const bool fill : {false, true}) {
            const bool lying = c.degrees == 180;
            media::PictureOptions options{
                .width = lying ? 160 : 90, .height = lying ? 90 : 160, .fill = fill, .rate = {}};
            auto reader = must_open(path, Rate(25), options);
            const auto picture = reader.picture_at(Fraction(0));
            REQUIRE(picture);
            for (const bool right : {false, true})
                for (const bool bottom : {false, true}) {
                    CAPTURE(right, bottom, fill);
                    const int x = options.width / 4 + (right ? options.width / 2 : 0),
                              y = options.height / 4 + (bottom ? options.height / 2 : 0);
                    const int grey = (*picture)->bytes[static_cast<std::size_t>(y * options.width + x)];
                    CHECK((grey > 200) == (right == c.right && bottom == c.bottom));
                }
        }
    }
}

TEST_CASE("pixels that are not square are shown as wide as the file says, by container or by stream") {
    TempFolder folder;
    // Columns of a white clip of 160 x 90 that are white in a frame which has room beside it.
    const auto columns = [](const std::string& path) {
        CAPTURE(path);
        auto reader = must_open(path, Rate(25), {.width = 320, .height = 90, .rate = {}});
        const auto picture = reader.picture_at(Fraction(0));
        REQUIRE(picture);
        const auto row = (*picture)->bytes.begin() + 45 * 320;
        return std::count_if(row, row + 320, [](int grey) { return grey > 127; });
    };
    const auto clip = [&](const std::string& aspect, const std::string& name) {
        ffmpeg("-f lavfi -i color=white:s=160x90:r=25:d=0.2 -vf setsar=" + aspect + " -pix_fmt yuv420p " +
               h264 + (folder / name));
        return folder / name;
    };
    for (const auto* name : {"a.mp4", "a.mov", "a.mkv", "a.ts"}) {
        CHECK(columns(clip("4/3", name)) == Approx(160 * 4 / 3.0).margin(2));
        CHECK(columns(clip("3/4", name)) == Approx(160 * 3 / 4.0).margin(2));
        CHECK(columns(clip("1/1", name)) == 160);
    }
    // Without the container's own word (the box pasp of ISO/IEC 14496-12), the coded stream's counts.
    const auto path = clip("4/3", "a.mp4");
    std::ifstream in(path, std::ios::binary);
    std::string bytes(std::istreambuf_iterator<char>(in), {});
    const auto box = bytes.find("pasp");
    REQUIRE(box != std::string::npos);
    std::ofstream(path, std::ios::binary) << bytes.replace(box, 4, "free");
    CHECK(columns(path) == Approx(160 * 4 / 3.0).margin(2));
}

TEST_CASE("pictures fit in with black beside them, or fill the frame") {
    TempFolder folder;
    // Left third black, middle third grey, right third white.
    ffmpeg("-f lavfi -i \"nullsrc=s=180x90:r=25:d=0.2,format=gray,geq=lum='127*floor(X/60)'\" -pix_fmt "
           "yuv420p " +
           h264 + (folder / "c.mp4"));
    const auto row = [&](bool fill, double centre, int y) {
        auto reader = must_open(folder / "c.mp4", Rate(25),
                                {.width = 90, .height = 90, .fill = fill, .crop_centre = centre, .rate = {}});
        const auto picture = reader.picture_at(Fraction(0));
        REQUIRE(picture);
        const auto* at = (*picture)->bytes.data() + y * 90;
        return std::vector<int>{at[10], at[45], at[80]};
    };
    const auto near = [](std::vector<int> found, std::vector<int> wanted) {
        for (std::size_t i = 0; i < 3; ++i)
            CHECK(found[i] == Approx(wanted[i]).margin(6));
    };
    // Limited range: grey g is 16 + g x 219 / 255.
    near(row(false, 0.5, 45), {16, 125, 234});
    near(row(false, 0.5, 10), {16, 16, 16});
    near(row(false, 0.5, 80), {16, 16, 16});
    near(row(true, 0, 10), {16, 16, 125});
    near(row(true, 0.5, 10), {16, 125, 234});
    near(row(true, 1, 80), {125, 234, 234});
}

TEST_CASE("a damaged stretch costs its own pictures, and is told by file and second") {
    TempFolder folder;
    const auto path = folder / "c.mp4";
    ffmpeg(counter("25", 4) +
           "-c:v libx264 -preset veryfast -bf 0 -x264-params keyint=10:min-keyint=10:scenecut=0 " + path);
    blot_pictures(path, 45, 55); // 40, 50 and 60 are key pictures
    auto reader = must_open(path, Rate(25));
    for (int k = 0; k < 100; ++k) {
        CAPTURE(k);
        const auto picture = reader.picture_at(Fraction(2 * k + 1, 50));
        CHECK((k >= 45 && k < 55) == !picture);
        if (picture) {
            // What refers to a lost picture is repaired as well as can be.
            if (k < 45 || k >= 60) CHECK(number_in(**picture) == k);
        } else {
            CHECK(picture.error().where == fmt::format("{} at {:.3f} s", path, (2 * k + 1) / 50.0));
            CHECK(picture.error().fault == Fault::bad_input);
        }
    }
    CHECK(number_at(reader, Fraction(1, 25)) == 1);
    CHECK_FALSE(reader.picture_at(Fraction(50, 25)));
    CHECK(number_at(reader, Fraction(99, 25)) == 99);
}

TEST_CASE("a file without pictures is refused by name") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 8000, 1);
    const auto reader = media::PictureReader::open(folder / "c.wav");
    REQUIRE_FALSE(reader);
    CHECK(reader.error().where == folder / "c.wav");
    CHECK_FALSE(media::PictureReader::open(folder / "gone.mp4"));
}
