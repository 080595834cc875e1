/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files: read whole, written atomically; and the few path operations the program needs. */
#ifndef MOULDWRIGHT_FILE_H
#define MOULDWRIGHT_FILE_H

#include "mouldwright/text.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Reads a whole file of at most `limit` bytes into a new block followed by a NUL byte, which the
 * caller gives back with mw_memory_give(). MW_IO sets errno (EFBIG past the limit, EISDIR for a
 * folder); nothing is owned then. Short reads and EINTR are handled. */
mw_status mw_file_read(const char *path, size_t limit, char **data, size_t *length) MW_MUST_USE;

/* Replaces the file by `data` atomically: temporary file in the same folder, mode kept, fsync, rename,
 * folder fsync; a symbolic link is followed first. A file that is new gets the mode of the umask; one
 * that is write-protected is refused (EACCES), a folder too (EISDIR); a device or pipe is written to.
 * On MW_IO errno is set and the old file is intact; only where the very last step failed, flushing
 * the folder, the new content stands there already, whole, but may not outlast a power cut. */
mw_status mw_file_replace(const char *path, mw_str data) MW_MUST_USE;

/* Returns whether a readable regular file stands there. */
bool mw_file_exists(const char *path);

/* Adds the folder part of a path ("." if none), without a slash at the end. */
void mw_path_folder(mw_text *out, mw_str path);
/* Adds `folder`/`name`, or `name` alone where it is absolute. */
void mw_path_join(mw_text *out, mw_str folder, mw_str name);
/* Returns the last part of a path, without folder and without slashes at its end; "/" for the root. */
mw_str mw_path_base(mw_str path);

/* Calls `each` for every entry of a folder whose name ends in `ending`, in byte order of the names;
 * stops early when it returns a status other than MW_OK and hands that on. A folder that does not
 * exist has no entries. */
mw_status mw_folder_each(const char *folder, const char *ending,
                         mw_status (*each)(void *context, const char *path, mw_str name),
                         void *context) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
