/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Opening and closing, shared by reading and writing. */
#ifndef BASE_FILE_IO_H
#define BASE_FILE_IO_H

#include <sys/types.h>

/* open() that goes on after a signal and does not hand the file to child processes. */
int mw_file_open(const char *path, int flags, mode_t mode);

/* close() that keeps errno, for files whose content is no longer at stake. */
void mw_file_close_quietly(int file);

#endif
