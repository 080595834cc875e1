/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long work says how far it is, and hears that it shall stop. */
#ifndef MOULDWRIGHT_PROGRESS_H
#define MOULDWRIGHT_PROGRESS_H

#include <stdbool.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Who is told. `tell` gets the share that is done (0 to 1; below 0: not known) and returns whether to go on. It is
 * called every few milliseconds of work, must be cheap, and must not touch what is being worked on. */
typedef struct mw_progress {
    bool (*tell)(void *context, double share);
    void *context;
} mw_progress;

/* Tells, and returns whether to go on; yes where nobody listens (`progress` or its `tell` is NULL). */
bool mw_progress_tell(const mw_progress *progress, double share);

#ifdef __cplusplus
}
#endif

#endif
