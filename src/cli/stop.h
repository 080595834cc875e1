/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Signals: Ctrl-C as a flag, and a terminal that is left as it was found. */
#ifndef MW_CLI_STOP_H
#define MW_CLI_STOP_H

#include <signal.h>
#include <stdbool.h>

/* Remembers how the terminal is set and takes over the signals of a session. */
void stop_install(void);
/* Puts the terminal back as it was. Safe in a signal handler. */
void stop_restore_terminal(void);

/* Work begins: Ctrl-C asks it to stop, a second one within 2 s leaves. */
void stop_begin_work(void);
/* Work has ended. */
void stop_end_work(void);
/* Whether the present work shall stop. */
bool stop_wanted(void);

/* The signals that waiting for a key wakes up for. */
typedef enum stop_event { STOP_NONE, STOP_KEY, STOP_DROP, STOP_RESIZE, STOP_SUSPEND } stop_event;
/* Waits until there is something to read or a signal came. */
stop_event stop_wait(int descriptor);
/* Stops the process as Ctrl-Z does, and returns when it goes on. */
void stop_suspend(void);

#endif
