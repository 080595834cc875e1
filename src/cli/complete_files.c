/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of files and shops for completion. */
#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "complete.h"
#include "mouldwright/file.h"

static bool has_ending(mw_str name, const char *ending)
{
    size_t length = strlen(ending);
    return name.length > length && memcmp(name.at + name.length - length, ending, length) == 0;
}

static int by_bytes(const void *a, const void *b)
{
    const candidate *one = a;
    const candidate *two = b;
    size_t shorter = one->text.length < two->text.length ? one->text.length : two->text.length;
    int order = memcmp(one->text.at, two->text.at, shorter);
    return order ? order
                 : (one->text.length > two->text.length) - (one->text.length < two->text.length);
}

/* Folders do not depend on the order in which the system lists them. */
static void sort_names(completion *to, size_t first)
{
    if (to->count > first + 1) {
        qsort(to->items + first, to->count - first, sizeof *to->items, by_bytes);
    }
}

static bool wanted_file(mw_str name, const char *const *suffixes)
{
    bool any = suffixes[0] == NULL;
    for (; *suffixes && !any; suffixes++) {
        any = has_ending(name, *suffixes);
    }
    return any;
}

/* Offers one entry of a folder, with the part of the path that was typed before it. */
static void offer_entry(completion *to, const char *folder, mw_str typed, const char *name,
                        const char *const *suffixes)
{
    mw_text path = {0};
    mw_text offered = {0};
    struct stat is;
    mw_path_join(&path, mw_str_of(folder), mw_str_of(name));
    bool folder_entry = !path.failed && stat(mw_text_chars(&path), &is) == 0 && S_ISDIR(is.st_mode);
    mw_text_add_str(&offered, typed);
    mw_text_adds(&offered, name);
    mw_text_adds(&offered, folder_entry ? "/" : "");
    if (!offered.failed && (folder_entry || wanted_file(mw_str_of(name), suffixes))) {
        /* A folder is no end: the quote stays open. */
        completion_offer(to, (mw_str){mw_text_chars(&offered), offered.length},
                         folder_entry ? "" : "\"");
    }
    to->lost = to->lost || path.failed || offered.failed;
    mw_text_free(&path);
    mw_text_free(&offered);
}

void completion_files(completion *to, const char *job_path, const char *const *suffixes)
{
    size_t cut = to->stem.length;
    while (cut > 0 && to->stem.at[cut - 1] != '/') {
        cut--;
    }
    mw_str typed = {to->stem.at, cut};
    bool hidden = cut < to->stem.length && to->stem.at[cut] == '.';
    mw_text own = {0};
    mw_text folder = {0};
    mw_path_folder(&own, mw_str_of(job_path ? job_path : ""));
    mw_path_join(&folder, (mw_str){mw_text_chars(&own), own.length}, typed);
    const char *path = folder.length ? mw_text_chars(&folder) : ".";
    size_t first = to->count;
    DIR *open = own.failed || folder.failed ? NULL : opendir(path);
    for (struct dirent *entry = open ? readdir(open) : NULL; entry; entry = readdir(open)) {
        bool self = strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0;
        if (!self && (entry->d_name[0] != '.' || hidden)) {
            offer_entry(to, path, typed, entry->d_name, suffixes);
        }
    }
    if (open) {
        closedir(open);
    }
    sort_names(to, first);
    mw_text_free(&own);
    mw_text_free(&folder);
}

static void shops_of(completion *to, const char *folder)
{
    DIR *open = opendir(folder);
    for (struct dirent *entry = open ? readdir(open) : NULL; entry; entry = readdir(open)) {
        mw_str name = mw_str_of(entry->d_name);
        if (has_ending(name, ".yaml")) {
            completion_offer(to, (mw_str){name.at, name.length - strlen(".yaml")}, "\"");
        }
    }
    if (open) {
        closedir(open);
    }
}

void completion_shops(completion *to, const complete_from *from)
{
    size_t first = to->count;
    for (size_t i = 0; i < from->folder_count; i++) {
        mw_text path = {0};
        const char *folder = from->folders[i];
        if (folder[0] == '\0') {
            const char *job = mw_job_path(from->job);
            mw_path_folder(&path, mw_str_of(job ? job : ""));
            mw_text_adds(&path, path.length ? "/" : "./");
        } else {
            mw_text_adds(&path, folder);
        }
        size_t own = path.length;
        mw_text_adds(&path, "/shops");
        shops_of(to, mw_text_chars(&path));
        if (folder[0] == '\0' && !path.failed) {
            path.length = own;
            mw_text_adds(&path, "recipes/shops");
            shops_of(to, mw_text_chars(&path));
        }
        to->lost = to->lost || path.failed;
        mw_text_free(&path);
    }
    sort_names(to, first);
}
