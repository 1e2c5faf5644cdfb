// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/lettering.h"

#include <algorithm>
#include <fmt/format.h>
#include <memory>
#include <mutex>
#include <pango/pangocairo.h>

namespace downball::preview {

namespace {

template <auto close>
struct Closed {
    template <class T>
    void operator()(T* it) const {
        close(it);
    }
};
template <class T, auto close>
using Owned = std::unique_ptr<T, Closed<close>>;
using Surface = Owned<cairo_surface_t, cairo_surface_destroy>;
using Drawing = Owned<cairo_t, cairo_destroy>;

// Fonts are looked up once. Pango's objects are of one thread at a time, so there is one user at a time.
std::mutex in_use;
PangoContext* context_of_all() {
    static PangoContext* const context = [] {
        // Greys without hints, whatever the desktop's settings are.
        const Owned<cairo_font_options_t, cairo_font_options_destroy> options(cairo_font_options_create());
        cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
        cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
        cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
        auto* fonts = pango_cairo_font_map_new();
        auto* made = pango_font_map_create_context(fonts);
        g_object_unref(fonts); // the context keeps it
        pango_cairo_context_set_font_options(made, options.get());
        pango_context_set_language(made, pango_language_from_string("en")); // whatever the user's is
        return made;
    }();
    return context;
}

struct Unref {
    void operator()(PangoLayout* layout) const { g_object_unref(layout); }
};
using Layout = std::unique_ptr<PangoLayout, Unref>;

// Characters that there may be room for, and some more, so that ellipsis points come: a name of a megabyte takes no
// longer than others. The narrowest letters are a quarter of an em wide.
long most_characters(const TextForm& form) {
    constexpr long more = 200;
    return form.width_px > 0 ? more + static_cast<long>(form.most_lines * (form.width_px / form.em_px) * 8)
                             : 1000;
}

Layout lay_out(const std::string& text, const TextForm& form) {
    Layout layout(pango_layout_new(context_of_all()));
    const Owned<PangoFontDescription, pango_font_description_free> font(pango_font_description_new());
    pango_font_description_set_family_static(font.get(), "DejaVu Sans");
    pango_font_description_set_absolute_size(font.get(), form.em_px * PANGO_SCALE);
    if (form.bold) pango_font_description_set_weight(font.get(), PANGO_WEIGHT_BOLD);
    pango_layout_set_font_description(layout.get(), font.get());
    pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
    if (form.centred) pango_layout_set_alignment(layout.get(), PANGO_ALIGN_CENTER);
    if (form.width_px > 0) {
        pango_layout_set_width(layout.get(), form.width_px * PANGO_SCALE);
        pango_layout_set_height(layout.get(), -form.most_lines);
        pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
        pango_layout_set_ellipsize(layout.get(), PANGO_ELLIPSIZE_END);
        // A hyphen in a name would be a part of it.
        const Owned<PangoAttrList, pango_attr_list_unref> attributes(pango_attr_list_new());
        pango_attr_list_insert(attributes.get(), pango_attr_insert_hyphens_new(FALSE));
        pango_layout_set_attributes(layout.get(), attributes.get());
    }
    const Owned<char, g_free> whole(g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())));
    const long most = most_characters(form);
    const bool all = g_utf8_strlen(whole.get(), -1) <= most;
    const auto length =
        all ? -1 : static_cast<int>(g_utf8_offset_to_pointer(whole.get(), most) - whole.get());
    pango_layout_set_text(layout.get(), whole.get(), length);
    return layout;
}

cairo_status_t append(void* to, const unsigned char* data, unsigned length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

} // namespace

Letters letters_of(const std::string& text, const TextForm& form) {
    const std::lock_guard lock(in_use);
    const auto layout = lay_out(text, form);
    int width = 0, height = 0;
    pango_layout_get_pixel_size(layout.get(), &width, &height);
    if (form.width_px > 0) width = form.width_px;
    const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_A8, width, height));
    {
        const Drawing drawing(cairo_create(surface.get()));
        pango_cairo_show_layout(drawing.get(), layout.get());
    }
    cairo_surface_flush(surface.get());
    const auto* rows = cairo_image_surface_get_data(surface.get());
    Letters letters;
    if (!rows) return letters;
    letters.width = width;
    letters.height = height;
    letters.cover.reserve(static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
    const auto stride = cairo_image_surface_get_stride(surface.get());
    for (int y = 0; y < height; ++y)
        letters.cover.insert(letters.cover.end(), rows + static_cast<std::ptrdiff_t>(y) * stride,
                             rows + static_cast<std::ptrdiff_t>(y) * stride + width);
    return letters;
}

Result<std::string> to_png(std::vector<std::uint32_t>& pixels, int width, int height) {
    const Surface surface(cairo_image_surface_create_for_data(reinterpret_cast<unsigned char*>(pixels.data()),
                                                              CAIRO_FORMAT_RGB24, width, height, 4 * width));
    std::string png;
    const auto status = cairo_surface_write_to_png_stream(surface.get(), append, &png);
    if (status != CAIRO_STATUS_SUCCESS)
        return Error{
            Fault::internal,
            fmt::format("no PNG of {} x {} can be made ({})", width, height, cairo_status_to_string(status)),
            ""};
    return png;
}

} // namespace downball::preview
