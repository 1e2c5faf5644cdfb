# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
# cmake -C .cmake/asan.cmake -B build-asan: clang, address and undefined sanitizers, unit tests only.
set(CMAKE_BUILD_TYPE Debug CACHE STRING "")
set(CMAKE_CXX_COMPILER clang++-14 CACHE STRING "")
set(CMAKE_C_COMPILER clang-14 CACHE STRING "")
set(CMAKE_CXX_FLAGS_DEBUG "-O1 -g" CACHE STRING "")
set(DOWNBALL_SANITIZE ON CACHE BOOL "")
set(DOWNBALL_WARNINGS_AS_ERRORS ON CACHE BOOL "")
