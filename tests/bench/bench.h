/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Timing and printing for the benches: CPU time, medians, one JSON object a line. */
#ifndef TESTS_BENCH_H
#define TESTS_BENCH_H

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

/* CPU time of the program in seconds. */
static inline double bench_now_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

static inline int bench_compare(const void *a, const void *b)
{
    const double *x = a;
    const double *y = b;
    return (*x > *y) - (*x < *y);
}

/* Sorts the figures and returns the middle one. */
static inline double bench_median(double *figures, size_t count)
{
    qsort(figures, count, sizeof *figures, bench_compare);
    return figures[count / 2];
}

/* Prints one result; `ratio` is value / limit. */
static inline void bench_print(const char *bench, double value, const char *unit, double limit)
{
    printf("{\"bench\": \"%s\", \"value\": %.6g, \"unit\": \"%s\", \"limit\": %.6g, "
           "\"ratio\": %.4g}\n",
           bench, value, unit, limit, value / limit);
    fflush(stdout);
}

/* Ends the bench when something went wrong that would make its figures worthless. */
static inline void bench_must(int fine, const char *what)
{
    if (!fine) {
        fprintf(stderr, "bench: %s\n", what);
        exit(EXIT_FAILURE);
    }
}

#endif
