// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/media/jpeg.h"

using namespace downball;
using namespace downball::test;

namespace {

// Of one colour, R'G'B' 0..1, by ITU-R BT.709-6, table 3: its luma and colour differences, over the studio range.
media::Picture of_colour(double r, double g, double b) {
    const double y = 0.2126 * r + 0.7152 * g + 0.0722 * b;
    media::Picture picture(32, 16, static_cast<std::uint8_t>(std::lround(16 + 219 * y)));
    for (const auto& [plane, difference] : {std::pair{1, (b - y) / 1.8556}, std::pair{2, (r - y) / 1.5748}}) {
        const auto chroma = picture.plane(plane);
        std::fill_n(chroma.data, chroma.width * chroma.height,
                    static_cast<std::uint8_t>(std::lround(128 + 224 * difference)));
    }
    return picture;
}

std::string jpeg_of(const media::Picture& picture, int quality) {
    auto jpeg = media::to_jpeg(picture, quality);
    REQUIRE(jpeg);
    return *jpeg;
}

// The middle of a JPEG file as the ffmpeg program decodes it: R'G'B', 0..255.
std::array<int, 3> decoded_middle(const TempFolder& folder, const std::string& jpeg) {
    std::ofstream(folder / "one.jpg", std::ios::binary) << jpeg;
    ffmpeg("-y -i " + (folder / "one.jpg") + " -f rawvideo -pix_fmt rgb24 " + (folder / "one.rgb"));
    std::ifstream file(folder / "one.rgb", std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), {}};
    REQUIRE(bytes.size() == 32 * 16 * 3);
    std::array<int, 3> middle{};
    for (std::size_t c = 0; c < 3; ++c)
        middle[c] = static_cast<unsigned char>(bytes[(8 * 32 + 16) * 3 + c]);
    return middle;
}

} // namespace

TEST_CASE("colours of a JPEG are those of the picture, as others decode it") {
    const TempFolder folder;
    for (const auto& [r, g, b] : {std::tuple{0.0, 0.0, 0.0},
                                  {1.0, 1.0, 1.0},
                                  {1.0, 0.0, 0.0},
                                  {0.0, 1.0, 0.0},
                                  {0.0, 0.0, 1.0},
                                  {0.9, 0.75, 0.5},
                                  {0.1, 0.45, 0.7}}) {
        const auto found = decoded_middle(folder, jpeg_of(of_colour(r, g, b), 100));
        INFO(fmt::format("{} {} {}: {} {} {}", r, g, b, found[0], found[1], found[2]));
        // Read with the matrix of BT.709, or over the studio range, green and red would be off by 16 and more.
        CHECK(found[0] == Approx(255 * r).margin(5));
        CHECK(found[1] == Approx(255 * g).margin(5));
        CHECK(found[2] == Approx(255 * b).margin(5));
    }
}

TEST_CASE("a JPEG is JFIF with square pixels, names nobody, and is the same each time") {
    auto picture = of_colour(0.9, 0.75, 0.5);
    for (std::size_t i = 0; i < 512; ++i)
        picture.bytes[i] = static_cast<std::uint8_t>(16 + i * i % 219);
    const auto jpeg = jpeg_of(picture, 60);
    CHECK(jpeg.substr(0, 4) ==
          "\xff\xd8\xff\xe0"); // ITU-T T.81, annex B: start of image; JFIF 1.02: its marker first
    CHECK(jpeg.substr(6, 5) == std::string("JFIF\0", 5));
    CHECK(jpeg.find("Lavc") == jpeg.npos);
    CHECK(jpeg == jpeg_of(picture, 60));
    CHECK(jpeg_of(picture, 20).size() < jpeg.size());
    CHECK(jpeg_of(picture, 95).size() > jpeg.size());
}
