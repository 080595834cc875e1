/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Paths as text; nothing here asks the file system. */
#include "mouldwright/file.h"

/* The path without the slashes at its end; the root stays a slash. */
static mw_str without_end_slashes(mw_str path)
{
    while (path.length > 1 && path.at[path.length - 1] == '/') {
        path.length--;
    }
    return path;
}

/* The offset behind the last slash. */
static size_t base_offset(mw_str path)
{
    size_t at = path.length;
    while (at > 0 && path.at[at - 1] != '/') {
        at--;
    }
    return at;
}

void mw_path_folder(mw_text *out, mw_str path)
{
    path = without_end_slashes(path);
    size_t base = base_offset(path);
    if (base == 0) {
        mw_text_addc(out, '.');
    } else {
        mw_text_add_str(out, without_end_slashes((mw_str){path.at, base}));
    }
}

void mw_path_join(mw_text *out, mw_str folder, mw_str name)
{
    bool absolute = name.length > 0 && name.at[0] == '/';
    if (!absolute && folder.length > 0) {
        mw_text_add_str(out, folder);
        if (folder.at[folder.length - 1] != '/') {
            mw_text_addc(out, '/');
        }
    }
    mw_text_add_str(out, name);
}

mw_str mw_path_base(mw_str path)
{
    path = without_end_slashes(path);
    size_t base = base_offset(path);
    if (base == path.length) { /* the root, or nothing */
        return path;
    }
    return (mw_str){path.at + base, path.length - base};
}
