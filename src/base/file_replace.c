/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Replacing a file so that at every moment either the old or the new content stands there whole:
 * a temporary file in the same folder, written, given the old one's mode, flushed, closed, renamed
 * over it, and the folder flushed. */
#include "mouldwright/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file_io.h"

enum {
    MOST_LINKS = 40, /* symbolic links followed, as the kernel does */
    MOST_TRIES = 100 /* names tried for the temporary file */
};

static mw_status io_error(int error)
{
    errno = error;
    return MW_IO;
}

/* Reads the link at `path` into `target`, relative ones joined to the folder of the link. */
static mw_status read_link(const char *path, mw_text *target)
{
    char buffer[4096];
    ssize_t length = readlink(path, buffer, sizeof buffer);
    if (length < 0) {
        return MW_IO;
    }
    if ((size_t)length == sizeof buffer) {
        return io_error(ENAMETOOLONG);
    }
    mw_text folder = {0};
    mw_path_folder(&folder, mw_str_of(path));
    mw_text_clear(target);
    mw_path_join(target, mw_str_of(mw_text_chars(&folder)), (mw_str){buffer, (size_t)length});
    mw_status status = folder.failed || target->failed ? MW_NO_MEMORY : MW_OK;
    mw_text_free(&folder);
    return status;
}

/* Puts into `target` the path that `path` stands for after symbolic links, the last of which may
 * lead to nothing yet. Sets `*exists` and the status of what is there. */
static mw_status resolve(const char *path, mw_text *target, struct stat *status, bool *exists)
{
    mw_text_adds(target, path);
    mw_text here = {0};
    mw_status result = target->failed ? MW_NO_MEMORY : MW_OK;
    for (int links = 0; result == MW_OK; links++) {
        *exists = lstat(mw_text_chars(target), status) == 0;
        if (!*exists || !S_ISLNK(status->st_mode)) {
            result = *exists || errno == ENOENT ? MW_OK : MW_IO;
            break;
        }
        if (links == MOST_LINKS) {
            result = io_error(ELOOP);
            break;
        }
        mw_text_clear(&here);
        mw_text_add(&here, target->data, target->length);
        result = here.failed ? MW_NO_MEMORY : read_link(mw_text_chars(&here), target);
    }
    mw_text_free(&here);
    return result;
}

static mw_status write_all(int file, mw_str data)
{
    while (data.length > 0) {
        ssize_t written = write(file, data.at, data.length);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            return written < 0 ? MW_IO : io_error(EIO);
        }
        data.at += written;
        data.length -= (size_t)written;
    }
    return MW_OK;
}

static mw_status flush(int file)
{
    while (fsync(file) != 0) {
        if (errno != EINTR) {
            return MW_IO;
        }
    }
    return MW_OK;
}

/* Closes and hands on what went wrong, before or now. EINTR leaves the file closed on Linux. */
static mw_status close_with(int file, mw_status status)
{
    if (status != MW_OK) {
        mw_file_close_quietly(file);
        return status;
    }
    return close(file) == 0 || errno == EINTR ? MW_OK : MW_IO;
}

/* A device or pipe is not replaced but written to. */
static mw_status write_through(const char *path, mw_str data)
{
    int file = mw_file_open(path, O_WRONLY, 0);
    return file < 0 ? MW_IO : close_with(file, write_all(file, data));
}

/* Opens a new file in `folder` and puts its path into `path`. Not mkstemp(), because a file that is
 * new to the user must get the mode that the user's umask gives. */
static mw_status open_temporary(mw_str folder, mode_t mode, mw_text *path, int *file)
{
    for (int i = 0; i < MOST_TRIES; i++) {
        char name[64];
        snprintf(name, sizeof name, ".mouldwright-%ld-%d.tmp", (long)getpid(), i);
        mw_text_clear(path);
        mw_path_join(path, folder, mw_str_of(name));
        if (path->failed) {
            return MW_NO_MEMORY;
        }
        *file = mw_file_open(mw_text_chars(path), O_WRONLY | O_CREAT | O_EXCL, mode);
        if (*file >= 0 || errno != EEXIST) {
            return *file >= 0 ? MW_OK : MW_IO;
        }
    }
    return MW_IO;
}

/* Gives the new file the owner and mode of the old one. Only root can give files away, and for
 * others owner and group mostly agree already: a refusal is no error. */
static mw_status keep_mode(int file, const struct stat *old)
{
    struct stat fresh;
    if (fstat(file, &fresh) != 0) {
        return MW_IO;
    }
    if (fresh.st_uid != old->st_uid || fresh.st_gid != old->st_gid) {
        if (fchown(file, old->st_uid, old->st_gid) != 0) {
            errno = 0;
        }
    }
    return fchmod(file, old->st_mode & 0777) == 0 ? MW_OK : MW_IO;
}

/* Makes the rename last. Some file systems cannot flush a folder and say so by EINVAL. */
static mw_status flush_folder(const char *folder)
{
    int file = mw_file_open(folder, O_RDONLY | O_DIRECTORY, 0);
    if (file < 0) {
        return MW_IO;
    }
    mw_status status = flush(file);
    if (status != MW_OK && errno == EINVAL) {
        status = MW_OK;
    }
    mw_file_close_quietly(file);
    return status;
}

static mw_status write_and_rename(const char *target, const char *folder, const struct stat *old,
                                  mw_str data)
{
    mw_text temporary = {0};
    int file = -1;
    mw_status status =
        open_temporary(mw_str_of(folder), old != NULL ? 0600 : 0666, &temporary, &file);
    if (status == MW_OK) {
        status = write_all(file, data);
        if (status == MW_OK && old != NULL) {
            status = keep_mode(file, old);
        }
        if (status == MW_OK) {
            status = flush(file);
        }
        status = close_with(file, status);
        if (status == MW_OK && rename(mw_text_chars(&temporary), target) != 0) {
            status = MW_IO;
        }
        if (status != MW_OK) {
            int error = errno;
            unlink(mw_text_chars(&temporary));
            errno = error;
        }
    }
    mw_text_free(&temporary);
    return status == MW_OK ? flush_folder(folder) : status;
}

static mw_status replace_regular(const char *target, const struct stat *old, mw_str data)
{
    if (old != NULL && access(target, W_OK) != 0) {
        return MW_IO; /* a rename would get past a file's write protection */
    }
    mw_text folder = {0};
    mw_path_folder(&folder, mw_str_of(target));
    mw_status status =
        folder.failed ? MW_NO_MEMORY : write_and_rename(target, mw_text_chars(&folder), old, data);
    mw_text_free(&folder);
    return status;
}

mw_status mw_file_replace(const char *path, mw_str data)
{
    mw_text target = {0};
    struct stat old;
    bool exists = false;
    mw_status status = resolve(path, &target, &old, &exists);
    if (status == MW_OK) {
        if (exists && S_ISDIR(old.st_mode)) {
            status = io_error(EISDIR);
        } else if (exists && !S_ISREG(old.st_mode)) {
            status = write_through(mw_text_chars(&target), data);
        } else {
            status = replace_regular(mw_text_chars(&target), exists ? &old : NULL, data);
        }
    }
    int error = errno;
    mw_text_free(&target);
    errno = error;
    return status;
}
