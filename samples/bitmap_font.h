// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace downball::sample {

// Capitals, digits and - . _ + ( ) drawn on a grid of five by seven cells. Is this cell of the character inked?
// Column 0 is the left one, row 0 the top one; a character that is not drawn is blank.
bool inked(char character, int column, int row);

} // namespace downball::sample
