/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files read whole, and folders listed. */
#include "mouldwright/file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file_io.h"
#include "mouldwright/arena.h"
#include "mouldwright/memory.h"

int mw_file_open(const char *path, int flags, mode_t mode)
{
    int file;
    do {
        file = open(path, flags | O_CLOEXEC, mode);
    } while (file < 0 && errno == EINTR);
    return file;
}

void mw_file_close_quietly(int file)
{
    int error = errno;
    close(file);
    errno = error;
}

/* Reads up to `size` bytes, fewer only at the end of the file. Returns the bytes or -1. */
static ssize_t read_full(int file, char *data, size_t size)
{
    size_t have = 0;
    while (have < size) {
        ssize_t more = read(file, data + have, size - have);
        if (more < 0 && errno == EINTR) {
            continue;
        }
        if (more < 0) {
            return -1;
        }
        if (more == 0) {
            break;
        }
        have += (size_t)more;
    }
    return (ssize_t)have;
}

/* Reads to the end of the file into `text`; a file may grow meanwhile, or have no size at all. */
static mw_status read_rest(int file, size_t expected, size_t limit, char **data, size_t *length)
{
    void *block = NULL;
    size_t capacity = 0;
    size_t have = 0;
    size_t wanted = expected + 2; /* one to meet the end of the file, one for the NUL */
    for (;;) {
        if (!mw_memory_grow(&block, &capacity, wanted, 1)) {
            mw_memory_give(block);
            return MW_NO_MEMORY;
        }
        ssize_t more = read_full(file, (char *)block + have, capacity - have - 1);
        if (more < 0 || (have += (size_t)more) > limit) {
            errno = more < 0 ? errno : EFBIG;
            mw_memory_give(block);
            return MW_IO;
        }
        if (have < capacity - 1) {
            ((char *)block)[have] = '\0';
            *data = block;
            *length = have;
            return MW_OK;
        }
        wanted = capacity + 1;
    }
}

/* The size that is expected of an open file, or -1 with errno set when it will not be read. */
static off_t size_to_read(int file, size_t limit)
{
    struct stat status;
    if (fstat(file, &status) != 0) {
        return -1;
    }
    if (S_ISDIR(status.st_mode)) {
        errno = EISDIR;
        return -1;
    }
    if (!S_ISREG(status.st_mode)) {
        return 0;
    }
    if ((uintmax_t)status.st_size > limit) {
        errno = EFBIG;
        return -1;
    }
    return status.st_size;
}

mw_status mw_file_read(const char *path, size_t limit, char **data, size_t *length)
{
    int file = mw_file_open(path, O_RDONLY, 0);
    if (file < 0) {
        return MW_IO;
    }
    off_t expected = size_to_read(file, limit);
    mw_status status =
        expected < 0 ? MW_IO : read_rest(file, (size_t)expected, limit, data, length);
    mw_file_close_quietly(file);
    return status;
}

bool mw_file_exists(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && S_ISREG(status.st_mode) && access(path, R_OK) == 0;
}

/* The names of a folder's entries. */
typedef struct listing {
    mw_arena *arena;
    char **names;
    size_t count;
    size_t capacity;
} listing;

static bool ends_in(const char *name, const char *ending)
{
    size_t name_length = strlen(name);
    size_t ending_length = strlen(ending);
    return name_length >= ending_length && strcmp(name + name_length - ending_length, ending) == 0;
}

static mw_status list_entries(DIR *open_folder, const char *ending, listing *list)
{
    for (;;) {
        errno = 0;
        const struct dirent *entry = readdir(open_folder);
        if (entry == NULL) {
            return errno == 0 ? MW_OK : MW_IO;
        }
        const char *name = entry->d_name;
        if (strcmp(name, ".") == 0 || strcmp(name, "..") == 0 || !ends_in(name, ending)) {
            continue;
        }
        void *names = list->names;
        char *copy = mw_arena_copy(list->arena, name, strlen(name));
        if (copy == NULL ||
            !mw_memory_grow(&names, &list->capacity, list->count + 1, sizeof *list->names)) {
            return MW_NO_MEMORY;
        }
        list->names = names;
        list->names[list->count++] = copy;
    }
}

static int compare_names(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static mw_status visit(const listing *list, const char *folder,
                       mw_status (*each)(void *, const char *, mw_str), void *context)
{
    mw_text path = {0};
    mw_status status = MW_OK;
    for (size_t i = 0; i < list->count && status == MW_OK; i++) {
        mw_str name = mw_str_of(list->names[i]);
        mw_text_clear(&path);
        mw_path_join(&path, mw_str_of(folder), name);
        status = path.failed ? MW_NO_MEMORY : each(context, mw_text_chars(&path), name);
    }
    mw_text_free(&path);
    return status;
}

mw_status mw_folder_each(const char *folder, const char *ending,
                         mw_status (*each)(void *context, const char *path, mw_str name),
                         void *context)
{
    DIR *open_folder = opendir(folder);
    if (open_folder == NULL) {
        return errno == ENOENT ? MW_OK : errno == ENOMEM ? MW_NO_MEMORY : MW_IO;
    }
    listing list = {.arena = mw_arena_new()};
    mw_status status = list.arena == NULL ? MW_NO_MEMORY : list_entries(open_folder, ending, &list);
    int error = errno;
    closedir(open_folder);
    errno = error;
    if (status == MW_OK && list.count > 0) {
        qsort(list.names, list.count, sizeof *list.names, compare_names);
        status = visit(&list, folder, each, context);
    }
    mw_memory_give(list.names);
    mw_arena_free(list.arena);
    return status;
}
