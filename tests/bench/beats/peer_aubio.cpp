// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// aubio's own tempo tracker, with the window, hop and method its own programs default to.
#include "mono_song.h"

#include <aubio/aubio.h>

int main(int argc, char** argv) {
    if (argc != 2) return 2;
    const auto song = downball::bench::read_mono(argv[1]);
    if (song.samples.empty()) return 3;
    constexpr uint_t window = 1024, hop = 512;
    aubio_tempo_t* tempo = new_aubio_tempo("default", window, hop, static_cast<uint_t>(song.rate_hz));
    fvec_t* in = new_fvec(hop);
    fvec_t* out = new_fvec(1);
    for (std::size_t at = 0; at < song.samples.size(); at += hop) {
        for (uint_t i = 0; i < hop; ++i)
            in->data[i] = at + i < song.samples.size() ? song.samples[at + i] : 0.0f;
        aubio_tempo_do(tempo, in, out);
        if (out->data[0] != 0)
            downball::bench::print_beat(static_cast<double>(aubio_tempo_get_last_s(tempo)), 0);
    }
    del_fvec(out);
    del_fvec(in);
    del_aubio_tempo(tempo);
    aubio_cleanup();
}
