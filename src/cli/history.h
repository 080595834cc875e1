/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The history of what was typed, kept in a file that several sessions add to. */
#ifndef MW_CLI_HISTORY_H
#define MW_CLI_HISTORY_H

#include <time.h>

#include "mouldwright/text.h"

/* Writes the path of a file of ours: below the XDG folder that `variable` names, else below `usual` in the home folder;
 * the folders are made where `make` says so. Empty: there is none. */
void history_path(mw_text *out, const char *variable, const char *usual, const char *file);
/* Makes the folders above a file, for this user alone. */
void history_make_folders(const char *path);

/* Adds an entry (several lines stay one) to the end of the file in one write, whatever other sessions do. False: it
 * could not be written. */
bool history_append(const char *path, mw_str entry, time_t when);
/* Reads the newest entries, oldest first. */
void history_read(const char *path, void (*each)(void *context, mw_str entry), void *context);
/* The same from a text, for history_read() and its tests: entries are lines behind a line `#SECONDS`. */
void history_split(mw_str text, void (*each)(void *context, mw_str entry), void *context);

#endif
