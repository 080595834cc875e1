/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far long work is: one line on a terminal's standard error, drawn seldom, erased in the end. */
#include "progress.h"

#include <math.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

#include "stop.h"

static double now_s(void)
{
    struct timespec now;
    return clock_gettime(CLOCK_MONOTONIC, &now) == 0
               ? (double)now.tv_sec + (double)now.tv_nsec / 1e9
               : 0.0;
}

bool progress_due(const work *of, double now)
{
    return of->shown && now - of->begun_s >= PROGRESS_AFTER_S &&
           now - of->drawn_s >= PROGRESS_EVERY_S;
}

void progress_words(double share, double spent_s, mw_text *out)
{
    if (!(share >= 0.0)) {
        mw_text_addf(out, "working, %.0f s; Ctrl-C stops", floor(spent_s));
        return;
    }
    double done = share > 1.0 ? 1.0 : share;
    mw_text_addf(out, "working, %.0f %%", floor(done * 100.0));
    if (done >= PROGRESS_GUESS_SHARE) {
        double left_s = ceil(spent_s * (1.0 - done) / done);
        if (left_s >= 90.0) {
            mw_text_addf(out, ", about %.0f min left", ceil(left_s / 60.0));
        } else {
            mw_text_addf(out, ", about %.0f s left", left_s);
        }
    }
    mw_text_adds(out, "; Ctrl-C stops");
}

static bool tell(void *context, double share)
{
    work *of = context;
    double now = of->shown ? now_s() : 0.0;
    if (progress_due(of, now)) {
        mw_text words = {0};
        progress_words(share, now - of->begun_s, &words);
        fprintf(stderr, "\r\033[K%s", mw_text_chars(&words));
        fflush(stderr);
        mw_text_free(&words);
        of->drawn_s = now;
        of->drawn = true;
    }
    return !stop_wanted();
}

void work_begin(work *of, bool shown)
{
    *of = (work){.shown = shown && isatty(STDERR_FILENO) != 0, .begun_s = now_s()};
    of->progress = (mw_progress){tell, of};
    stop_begin_work();
}

void work_end(work *of)
{
    if (of->drawn) {
        fputs("\r\033[K", stderr);
        fflush(stderr);
    }
    stop_end_work();
}
