// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Preloaded before the program: writes down what it opens, and lets a file fail to be read from some byte on. To the file
// that DOWNBALL_COUNTS names a line is appended for each decoder ("audio NAME", "video NAME", those of libavformat's own
// looks too) and each file ("container URL", "sound PATH"). DOWNBALL_BAD_FILE and DOWNBALL_BAD_FROM are the file and its
// first byte that cannot be read (EIO); what is read through C streams is not touched by that.
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static void *next(const char *name) {
    void *found = dlsym(RTLD_NEXT, name);
    if (!found) abort();
    return found;
}

// One write a line, so that threads do not mix theirs.
static void tell(const char *what, const char *name) {
    const char *path = getenv("DOWNBALL_COUNTS");
    char line[4200];
    if (!path) return;
    const int length = snprintf(line, sizeof line, "%s %s\n", what, name ? name : "");
    const int file = open(path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
    if (file < 0 || length < 0 || (size_t)length >= sizeof line || write(file, line, (size_t)length) != length) abort();
    close(file);
}

int avcodec_open2(AVCodecContext *context, const AVCodec *codec, AVDictionary **options) {
    int (*open_codec)(AVCodecContext *, const AVCodec *, AVDictionary **) = next("avcodec_open2");
    int (*is_decoder)(const AVCodec *) = next("av_codec_is_decoder");
    const AVCodec *used = codec ? codec : context->codec;
    if (used && is_decoder(used) && used->type == AVMEDIA_TYPE_AUDIO) tell("audio", used->name);
    if (used && is_decoder(used) && used->type == AVMEDIA_TYPE_VIDEO) tell("video", used->name);
    return open_codec(context, codec, options);
}

#if LIBAVFORMAT_VERSION_MAJOR < 59
typedef AVInputFormat *Form;
#else
typedef const AVInputFormat *Form;
#endif

int avformat_open_input(AVFormatContext **context, const char *url, Form form, AVDictionary **options) {
    int (*open_input)(AVFormatContext **, const char *, Form, AVDictionary **) = next("avformat_open_input");
    tell("container", url);
    return open_input(context, url, form, options);
}

void *sf_open(const char *path, int mode, void *info) {
    void *(*open_sound)(const char *, int, void *) = next("sf_open");
    tell("sound", path);
    return open_sound(path, mode, info);
}

// How many of `wanted` bytes from there can be read of that file; -1 for none, as the disk is bad.
static ssize_t readable(int file, off_t at, size_t wanted) {
    const char *path = getenv("DOWNBALL_BAD_FILE"), *from = getenv("DOWNBALL_BAD_FROM");
    struct stat bad, this;
    if (!path || !from || at < 0 || stat(path, &bad) || fstat(file, &this)) return (ssize_t)wanted;
    if (bad.st_ino != this.st_ino || bad.st_dev != this.st_dev) return (ssize_t)wanted;
    const off_t end = atoll(from);
    if (at >= end) return -1;
    return (off_t)wanted < end - at ? (ssize_t)wanted : (ssize_t)(end - at);
}

ssize_t read(int file, void *into, size_t wanted) {
    ssize_t (*read_file)(int, void *, size_t) = next("read");
    const int before = errno;
    const ssize_t good = readable(file, lseek(file, 0, SEEK_CUR), wanted);
    errno = good < 0 ? EIO : before;
    return good < 0 ? -1 : read_file(file, into, (size_t)good);
}

ssize_t pread(int file, void *into, size_t wanted, off_t at) {
    ssize_t (*read_file)(int, void *, size_t, off_t) = next("pread");
    const ssize_t good = readable(file, at, wanted);
    if (good < 0) errno = EIO;
    return good < 0 ? -1 : read_file(file, into, (size_t)good, at);
}
