# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
# cmake -C .cmake/release.cmake -B build
set(CMAKE_BUILD_TYPE Release CACHE STRING "")
set(DOWNBALL_WARNINGS_AS_ERRORS ON CACHE BOOL "")
