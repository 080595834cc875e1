/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inside of a rate calendar: patterns of a day, what months hold, and days apart from their
 * weekday. */
#ifndef MOULDWRIGHT_MEASURE_CALENDAR_DAYS_H
#define MOULDWRIGHT_MEASURE_CALENDAR_DAYS_H

#include "mouldwright/calendar.h"

enum {
    MONTHS = 12,
    WEEKDAYS = 7,
    LONGEST_MONTH = 31,
    DAY_MINUTES = 1440,
    MINUTE_S = 60,
    HORIZON_DAYS = 14610 /* 40 years: beyond it a calendar never gets there */
};

/* An amount below this is nothing: what rounding leaves at closing time must not reach into the
 * next opening. */
#define NOTHING_S 1e-6

/* Moments beyond this are as good as infinite. */
#define FARTHEST_S (1e9 * MW_DAY_S)

/* What is counted over days. */
typedef enum tally { TALLY_SECONDS, TALLY_DAYS, TALLY_COUNT } tally;

/* The stretches that begin on a day. */
typedef struct pattern {
    mw_stretch *items;
    uint32_t count;
    int spill_minutes; /* how far its last stretch runs into the next day */
    double spill_rate;
    bool works;
} pattern;

/* What the days of a month hold by their weekday (0 Monday). The first day of a month may hold more or
 * less than its weekday: the night before it was another month's. */
typedef struct month_tally {
    double week;
    double part[WEEKDAYS][WEEKDAYS]; /* [w][n]: n days from weekday w on */
    double first_more[WEEKDAYS];
} month_tally;

/* A day set apart. */
typedef struct exception {
    int32_t day;
    uint32_t pattern;
} exception;

/* A day that differs from its weekday: set apart itself, or the day after such a one. */
typedef struct special {
    int32_t day;
    uint32_t own;              /* pattern of the day */
    uint32_t previous;         /* pattern of the day before */
    double more[TALLY_COUNT];  /* than its weekday has */
    double until[TALLY_COUNT]; /* sum of `more` up to this day and with it */
} special;

struct mw_calendar {
    pattern *patterns; /* the first is closed */
    size_t pattern_capacity;
    uint32_t pattern_count;
    uint32_t weekdays[MONTHS][WEEKDAYS]; /* patterns */
    bool gapless[MONTHS];                /* open day and night on all weekdays */
    month_tally tallies[TALLY_COUNT][MONTHS];
    exception *exceptions; /* by day */
    size_t exception_capacity;
    size_t exception_count;
    special *specials; /* by day */
    size_t special_capacity;
    size_t special_count;
};

/* A month at a place in time. */
typedef struct month_at {
    int32_t first; /* its first day */
    int year;
    int month;   /* 0 January */
    int weekday; /* of its first day; 0 Monday */
    int length;
} month_at;

month_at month_of_day(int32_t day);
month_at next_month(month_at at);
month_at month_before(month_at at);

/* A day as it is walked through, stretch by stretch. A stretch of its own goes before one that
 * runs over from the day before. */
typedef struct day_walk {
    const pattern *own;
    int spill_minutes;
    double spill_rate;
    uint32_t next;
    int at; /* minute up to which has been walked */
} day_walk;

/* A stretch of a day with a rate above 0, in seconds since midnight. */
typedef struct segment {
    double from_s;
    double to_s;
    double rate;
} segment;

day_walk walk_day(const mw_calendar *calendar, int32_t day);
/* Walks a day of pattern `own` after one of pattern `previous`. */
day_walk walk_patterns(const mw_calendar *calendar, uint32_t own, uint32_t previous);
bool next_segment(day_walk *walk, segment *out);

/* Returns the first special day at or after `day`, as an index. */
size_t special_from(const mw_calendar *calendar, int32_t day);

/* Returns the pattern of a day. */
uint32_t pattern_of_day(const mw_calendar *calendar, int32_t day);

/* Works out again what months hold (bits as in mw_calendar_weekday()) and what special days add,
 * from the exception at `from` on. Needs room for twice as many specials as exceptions. */
void tally_months(mw_calendar *calendar, unsigned months);
void tally_specials(mw_calendar *calendar, size_t from);

/* Returns what the days from `from` up to, not with, `to` hold. */
double sum_days(const mw_calendar *calendar, tally which, int32_t from, int32_t to);

/* Finds the day on which `*rest` is reached, counting from the start of `day` on, not past `last`;
 * takes what the days before it hold off `*rest`. INT32_MAX where none is. */
int32_t find_forward(const mw_calendar *calendar, tally which, int32_t day, int32_t last,
                     double *rest);
/* The same backwards, from the end of `day` on, not past `first`. */
int32_t find_backward(const mw_calendar *calendar, tally which, int32_t day, int32_t first,
                      double *rest);

#endif
