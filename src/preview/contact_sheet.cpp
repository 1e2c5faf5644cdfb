// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/contact_sheet.h"

#include "preview/ink.h"
#include "preview/lone_pictures.h"

#include "downball/media/rgb.h"

#include <algorithm>
#include <map>
#include <mutex>

namespace downball::preview {

namespace {

// Sand on deep water. Contrast by WCAG 2.2 to the ground: text 13.9, quiet 9.3; number on its plate 8.9.
constexpr std::uint32_t ground = 0x10222e, text = 0xf4efe6, quiet = 0xb8c7cf, plate = 0xf2b84b;

using Pixels = std::vector<std::uint32_t>;

// Lengths in pixels. How large a tile is goes by how many there are.
struct Layout {
    int width, columns, tile, picture_height, margin, gap;
    double unit;       // of what a tile holds, 1 on a sheet of up to 60
    double head_scale; // of the heading

    explicit Layout(std::size_t shots) {
        int steps = 1;
        while (static_cast<std::size_t>(60 * steps * steps) < shots)
            ++steps;
        head_scale = std::min(steps, 2);
        unit = head_scale / steps;
        width = 1080 * std::min(steps, 2);
        columns = 3 * steps;
        margin = px(28);
        gap = std::max(1, px(20));
        tile = std::max(2, (width - 2 * margin - (columns - 1) * gap) / columns / 2 * 2);
        picture_height = std::max(2, tile * 9 / 32 * 2);
        margin = (width - columns * tile - (columns - 1) * gap) / 2;
    }
    int px(double length) const { return static_cast<int>(length * unit + 0.5); }
    int left_of(std::size_t index) const {
        return margin + static_cast<int>(index % static_cast<std::size_t>(columns)) * (tile + gap);
    }
};

// The sheet grows downwards.
class Sheet {
  public:
    explicit Sheet(int width) : width_(width) {}

    int height() const { return static_cast<int>(pixels_.size() / static_cast<std::size_t>(width_)); }
    void grow(int by) {
        pixels_.resize(pixels_.size() + static_cast<std::size_t>(by) * static_cast<std::size_t>(width_),
                       ground);
    }
    void fill(int left, int top, int width, int height, std::uint32_t colour) {
        for (int y = top; y < top + height; ++y)
            std::fill_n(at(left, y), width, colour);
    }
    void put(const Pixels& picture, int width, int left, int top) {
        for (std::size_t from = 0; from < picture.size(); from += static_cast<std::size_t>(width), ++top)
            std::copy_n(picture.data() + from, width, at(left, top));
    }
    void put(const Letters& letters, int left, int top, std::uint32_t colour) {
        for (int y = 0; y < letters.height; ++y)
            for (int x = 0; x < letters.width; ++x) {
                auto& pixel = *at(left + x, top + y);
                std::uint32_t mixed = 0;
                for (const int shift : {16, 8, 0}) {
                    const auto part = [&](std::uint32_t whole) {
                        return static_cast<int>(whole >> shift & 0xff);
                    };
                    mixed |= static_cast<std::uint32_t>(between(part(pixel), part(colour), letters.at(x, y)))
                             << shift;
                }
                pixel = mixed;
            }
    }
    Result<std::string> png() { return to_png(pixels_, width_, height()); }

  private:
    std::uint32_t* at(int x, int y) { return pixels_.data() + static_cast<std::ptrdiff_t>(y) * width_ + x; }

    int width_;
    Pixels pixels_;
};

// Names of several scripts side by side each keep their own direction (UAX #9, isolates); the mark in front keeps the
// first one from turning the line.
std::string side_by_side(const std::vector<std::string>& names) {
    std::string line;
    for (const auto& name : names)
        line += (line.empty() ? "" : ", ") + ("\u2068" + name + "\u2069");
    return line.empty() ? line : "\u200e" + line;
}

struct Line {
    Letters letters;
    std::uint32_t colour;
};

// Under the picture; what is empty takes no room.
std::vector<Line> caption_of(const SheetTile& tile, const Layout& layout) {
    std::vector<Line> lines;
    const auto add = [&](const std::string& words, double em, bool bold, int most, std::uint32_t colour) {
        if (words.empty()) return;
        lines.push_back(
            {letters_of(
                 words,
                 {.em_px = em * layout.unit, .bold = bold, .width_px = layout.tile, .most_lines = most}),
             colour});
    };
    add(tile.what, 31, true, 1, text);
    add(side_by_side(tile.players), 29, false, 2, text);
    add(tile.label, 28, false, 1, quiet);
    return lines;
}

int height_of(const std::vector<Line>& lines) {
    int height = 0;
    for (const auto& line : lines)
        height += line.letters.height;
    return height;
}

void put_heading(Sheet& sheet, const SheetTexts& texts, const Layout& layout) {
    const auto px = [&](double length) { return static_cast<int>(length * layout.head_scale); };
    const int room = layout.width - 2 * layout.margin;
    const auto name = letters_of(
        texts.name, {.em_px = 54 * layout.head_scale, .bold = true, .width_px = room, .most_lines = 2});
    const auto about = letters_of(texts.about, {.em_px = 32 * layout.head_scale, .width_px = room});
    sheet.grow(px(30));
    sheet.fill(layout.margin, sheet.height() - px(6), px(96), px(6), plate);
    sheet.grow(px(14));
    for (const auto& [letters, colour] : {std::pair{&name, text}, std::pair{&about, quiet}}) {
        const int top = sheet.height();
        sheet.grow(letters->height);
        sheet.put(*letters, layout.margin, top, colour);
    }
    sheet.grow(px(26));
}

// The number on a plate in the picture's lower left corner.
void put_number(Sheet& sheet, const std::string& number, int left, int bottom, const Layout& layout) {
    const int pad = layout.px(10), most = layout.tile - 2 * pad;
    auto letters = letters_of(number, {.em_px = 32 * layout.unit, .bold = true});
    if (letters.width > most)
        letters = letters_of(number, {.em_px = 32 * layout.unit, .bold = true, .width_px = most});
    const int height = std::min(letters.height + layout.px(4), layout.picture_height);
    if (letters.height > height) return;
    sheet.fill(left, bottom - height, letters.width + 2 * pad, height, plate);
    sheet.put(letters, left + pad, bottom - height + (height - letters.height) / 2, ground);
}

} // namespace

Result<ContactSheet> contact_sheet(const Timeline& timeline, const SheetTexts& texts, const LongWork& work) {
    const Layout layout(texts.tiles.size());
    std::vector<Frame> wanted;
    for (const auto& tile : texts.tiles)
        wanted.push_back(tile.shows);
    std::map<Frame, Pixels> pictures;
    std::mutex mutex;
    const auto take = [&](Frame at, const media::Picture& picture) -> Result<void> {
        auto pixels = media::to_rgb(picture);
        if (!pixels) return pixels.error();
        const std::lock_guard lock(mutex);
        pictures[at] = std::move(*pixels);
        return {};
    };
    auto lost = take_pictures(
        timeline, wanted, {.width = layout.tile, .height = layout.picture_height, .rate = {}}, take, work);
    if (!lost) return lost.error();

    Sheet sheet(layout.width);
    put_heading(sheet, texts, layout);
    const auto columns = static_cast<std::size_t>(layout.columns);
    for (std::size_t first = 0; first < texts.tiles.size(); first += columns) {
        const auto end = std::min(first + columns, texts.tiles.size());
        std::vector<std::vector<Line>> captions;
        int tallest = 0;
        for (std::size_t i = first; i < end; ++i) {
            captions.push_back(caption_of(texts.tiles[i], layout));
            tallest = std::max(tallest, height_of(captions.back()));
        }
        const int top = sheet.height(), below = top + layout.picture_height;
        sheet.grow(layout.picture_height + layout.px(8) + tallest + layout.px(28));
        for (std::size_t i = first; i < end; ++i) {
            const int left = layout.left_of(i);
            sheet.put(pictures[texts.tiles[i].shows], layout.tile, left, top);
            put_number(sheet, texts.tiles[i].number, left, below, layout);
            int y = below + layout.px(8);
            for (const auto& [letters, colour] : captions[i - first]) {
                sheet.put(letters, left, y, colour);
                y += letters.height;
            }
        }
    }
    auto png = sheet.png();
    if (!png) return png.error();
    return ContactSheet{std::move(*png), std::move(lost->notes)};
}

} // namespace downball::preview
