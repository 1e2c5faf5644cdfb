// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/media/picture.h"

#include <string>

namespace downball::preview {

// Dark grey, with the name in its middle, in as many rows as it needs; a name longer than there is room for ends with
// ellipsis points. Any number of threads may call it.
media::Picture slate(int width, int height, const std::string& name);

} // namespace downball::preview
