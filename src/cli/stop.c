/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Signals of a session. Handlers only set flags, but for those that end the program: they put the terminal back and die
 * of the same signal. The flags are the one mutable state that is not handed around. */
#include "stop.h"

#include <errno.h>
#include <string.h>
#include <sys/select.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

enum { AGAIN_S = 2 }; /* a second Ctrl-C within so many seconds leaves */

static volatile sig_atomic_t working;     /* Ctrl-C means the work */
static volatile sig_atomic_t wanted;      /* the work shall stop */
static volatile sig_atomic_t interrupted; /* at the prompt: the line shall go */
static volatile sig_atomic_t resized;
static volatile sig_atomic_t suspended;
static volatile sig_atomic_t stopped_at_s; /* when work was last asked to stop; 0: never */

static struct termios found; /* the terminal as it was at the start */
static volatile sig_atomic_t have_found;

static long now_s(void)
{
    struct timespec now;
    return clock_gettime(CLOCK_MONOTONIC, &now) == 0 ? (long)now.tv_sec : 0;
}

void stop_restore_terminal(void)
{
    static const char paste_off[] = "\033[?2004l";
    if (have_found) {
        int before = errno;
        struct termios is;
        bool raw = tcgetattr(STDIN_FILENO, &is) == 0 && !(is.c_lflag & ICANON);
        if (raw && isatty(STDERR_FILENO)) {
            ssize_t written = write(STDERR_FILENO, paste_off, sizeof paste_off - 1);
            (void)written;
        }
        tcsetattr(STDIN_FILENO, TCSANOW, &found);
        errno = before;
    }
}

static void die(int number)
{
    stop_restore_terminal();
    signal(number, SIG_DFL);
    sigset_t only;
    sigemptyset(&only);
    sigaddset(&only, number);
    sigprocmask(SIG_UNBLOCK, &only, NULL);
    raise(number);
}

static void on_interrupt(int number)
{
    long now = now_s();
    if (stopped_at_s != 0 && now - stopped_at_s <= AGAIN_S) {
        die(number);
    }
    if (working) {
        wanted = 1;
        stopped_at_s = (sig_atomic_t)(now ? now : 1);
    } else {
        interrupted = 1;
    }
}

static void on_resize(int number)
{
    (void)number;
    resized = 1;
}

static void on_suspend(int number)
{
    (void)number;
    suspended = 1;
}

static void handle(int number, void (*handler)(int))
{
    struct sigaction action;
    memset(&action, 0, sizeof action);
    action.sa_handler = handler;
    sigemptyset(&action.sa_mask);
    /* Work is not disturbed by them; waiting for a key is woken all the same. */
    action.sa_flags = SA_RESTART;
    sigaction(number, &action, NULL);
}

void stop_install(void)
{
    static const int fatal[] = {SIGTERM, SIGHUP, SIGQUIT, SIGSEGV, SIGBUS,
                                SIGFPE,  SIGILL, SIGABRT, SIGXCPU};
    have_found = tcgetattr(STDIN_FILENO, &found) == 0;
    for (size_t i = 0; i < sizeof fatal / sizeof *fatal; i++) {
        handle(fatal[i], die);
    }
    handle(SIGINT, on_interrupt);
    handle(SIGWINCH, on_resize);
}

void stop_begin_work(void)
{
    wanted = 0;
    working = 1;
}

void stop_end_work(void)
{
    working = 0;
    wanted = 0;
}

bool stop_wanted(void)
{
    return wanted != 0;
}

/* Takes a flag. */
static bool take(volatile sig_atomic_t *flag)
{
    bool was = *flag != 0;
    *flag = 0;
    return was;
}

static stop_event event_now(void)
{
    if (take(&interrupted)) {
        return STOP_DROP;
    }
    if (take(&suspended)) {
        return STOP_SUSPEND;
    }
    return take(&resized) ? STOP_RESIZE : STOP_NONE;
}

stop_event stop_wait(int descriptor)
{
    sigset_t held;
    sigset_t before;
    sigemptyset(&held);
    sigaddset(&held, SIGINT);
    sigaddset(&held, SIGWINCH);
    sigaddset(&held, SIGTSTP);
    handle(SIGTSTP, on_suspend);
    /* Held back between the look at the flags and the wait, so that none is missed. */
    sigprocmask(SIG_BLOCK, &held, &before);
    stop_event event = event_now();
    if (event == STOP_NONE) {
        fd_set set;
        FD_ZERO(&set);
        FD_SET(descriptor, &set);
        int ready = pselect(descriptor + 1, &set, NULL, NULL, NULL, &before);
        event = ready >= 0 ? STOP_KEY : event_now();
    }
    sigprocmask(SIG_SETMASK, &before, NULL);
    handle(SIGTSTP, SIG_DFL);
    /* Keys that came together with Ctrl-C were typed behind it: the line goes before they are read. */
    return event == STOP_KEY && take(&interrupted) ? STOP_DROP : event;
}

void stop_suspend(void)
{
    raise(SIGTSTP);
}
