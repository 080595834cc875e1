/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The history file. Each entry stands behind a line `#SECONDS`; a line of an entry that looks like that gets a blank in
 * front. Entries are added by one write at the end of the file, under a lock that holds off its shortening. */
#include "history.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

enum {
    LARGEST_BYTES = 8 * 1024 * 1024, /* what is read at all */
    LONG_BYTES = 2 * 1024 * 1024,    /* from here on the older half is dropped */
    NEWEST_BYTES = 1024 * 1024       /* what is kept then, and read at most */
};

void history_path(mw_text *out, const char *variable, const char *usual, const char *file)
{
    const char *folder = getenv(variable);
    const char *home = getenv("HOME");
    if (folder && folder[0] == '/') {
        mw_text_addf(out, "%s/mouldwright/%s", folder, file);
    } else if (home && home[0] == '/') {
        mw_text_addf(out, "%s/%s/mouldwright/%s", home, usual, file);
    }
}

void history_make_folders(const char *path)
{
    mw_text folder = {0};
    mw_text_adds(&folder, path);
    for (size_t i = 1; !folder.failed && i < folder.length; i++) {
        if (folder.data[i] == '/') {
            folder.data[i] = '\0';
            mkdir(folder.data, 0700); /* one that is there already is fine, and opening tells */
            folder.data[i] = '/';
        }
    }
    mw_text_free(&folder);
}

/* Whether a line is the mark of a new entry. */
static bool is_mark(mw_str line)
{
    bool mark = line.length > 1 && line.at[0] == '#';
    for (size_t i = 1; mark && i < line.length; i++) {
        mark = line.at[i] >= '0' && line.at[i] <= '9';
    }
    return mark;
}

static mw_str next_line(mw_str text, size_t *at)
{
    const char *begin = text.at + *at;
    const char *end = memchr(begin, '\n', text.length - *at);
    size_t length = end ? (size_t)(end - begin) : text.length - *at;
    *at += length + (end != NULL);
    return (mw_str){begin, length};
}

void history_split(mw_str text, void (*each)(void *context, mw_str entry), void *context)
{
    size_t at = 0;
    const char *begin = NULL; /* of the entry; NULL: no mark yet */
    while (at < text.length) {
        mw_str line = next_line(text, &at);
        if (!is_mark(line)) {
            continue;
        }
        if (begin && line.at - 1 > begin) {
            each(context, (mw_str){begin, (size_t)(line.at - 1 - begin)});
        }
        begin = line.at + line.length < text.at + text.length ? line.at + line.length + 1 : NULL;
    }
    /* The last one counts only with its line end: it may be half written. */
    if (begin && text.at + text.length - 1 > begin && text.at[text.length - 1] == '\n') {
        each(context, (mw_str){begin, (size_t)(text.at + text.length - 1 - begin)});
    }
}

static bool lock_file(int file)
{
    struct flock lock = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    int done;
    do {
        done = fcntl(file, F_SETLKW, &lock);
    } while (done != 0 && errno == EINTR);
    return done == 0;
}

/* Opens the file at its end, locked, and makes sure that it is still the one of that name. */
static int open_locked(const char *path)
{
    for (int tries = 0; tries < 10; tries++) {
        int file = open(path, O_RDWR | O_APPEND | O_CREAT | O_CLOEXEC, 0600);
        struct stat is;
        struct stat named;
        if (file < 0) {
            return file;
        }
        bool same = lock_file(file) && fstat(file, &is) == 0 && stat(path, &named) == 0 &&
                    is.st_ino == named.st_ino && is.st_dev == named.st_dev;
        if (same) {
            return file;
        }
        close(file);
    }
    return -1;
}

bool history_append(const char *path, mw_str entry, time_t when)
{
    mw_text text = {0};
    mw_text_addf(&text, "#%lld\n", (long long)when);
    for (size_t at = 0; at < entry.length;) {
        mw_str line = next_line(entry, &at);
        mw_text_adds(&text, is_mark(line) ? " " : "");
        mw_text_add_str(&text, line);
        mw_text_addc(&text, '\n');
    }
    int file = text.failed ? -1 : open_locked(path);
    if (file < 0 && !text.failed) {
        history_make_folders(path);
        file = open_locked(path);
    }
    bool well = file >= 0 && write(file, text.data, text.length) == (ssize_t)text.length;
    well = file >= 0 && close(file) == 0 && well;
    mw_text_free(&text);
    return well;
}

/* The newest part of the text, from a mark on. */
static mw_str newest(mw_str text)
{
    if (text.length <= NEWEST_BYTES) {
        return text;
    }
    size_t at = text.length - NEWEST_BYTES;
    next_line(text, &at);
    while (at < text.length) {
        size_t begin = at;
        if (is_mark(next_line(text, &at))) {
            return (mw_str){text.at + begin, text.length - begin};
        }
    }
    return (mw_str){text.at + text.length, 0};
}

/* Reads what an open file holds. Opening it a second time would lose the lock. */
static char *read_open(int file, size_t *length)
{
    struct stat is;
    if (fstat(file, &is) != 0 || is.st_size > LARGEST_BYTES) {
        return NULL;
    }
    char *data = mw_memory_get((size_t)is.st_size + 1);
    ssize_t got = data ? pread(file, data, (size_t)is.st_size, 0) : -1;
    if (got != (ssize_t)is.st_size) {
        mw_memory_give(data);
        return NULL;
    }
    *length = (size_t)got;
    return data;
}

/* Drops the older half of a long file. Other sessions wait at the lock and then look the name up anew. */
static void shorten(const char *path)
{
    int file = open_locked(path);
    size_t length = 0;
    char *data = file >= 0 ? read_open(file, &length) : NULL;
    if (data) {
        mw_status status = mw_file_replace(path, newest((mw_str){data, length}));
        (void)status; /* it stays long */
    }
    mw_memory_give(data);
    if (file >= 0) {
        close(file);
    }
}

void history_read(const char *path, void (*each)(void *context, mw_str entry), void *context)
{
    struct stat is;
    if (stat(path, &is) == 0 && is.st_size > LONG_BYTES) {
        shorten(path);
    }
    char *data = NULL;
    size_t length = 0;
    if (mw_file_read(path, LARGEST_BYTES, &data, &length) == MW_OK) {
        history_split(newest((mw_str){data, length}), each, context);
    }
    mw_memory_give(data);
}
