/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans worked out by hand. Each row says how its dates come about; the shifts stand in
 * plan_problem.h. All problems start on Monday 2027-01-11 at 00:00 unless their activities say
 * later. Values: derived by hand from the meanings given in plan.h. */
#include "plan_checker.h"
#include "plan_problem.h"

/* The resources of every row. */
enum { CREW, MILL, OVEN, RESOURCES };
static const uint32_t capacity_rows[RESOURCES] = {[CREW] = 2, [MILL] = 1, [OVEN] = 1};

enum { MOST = 6 };

typedef struct want {
    double start_s, end_s;
    mw_plan_reason reason;
    uint32_t binding;
    double ready_s;
} want;

typedef struct plan_row {
    const char *name;
    const char *by_hand;
    uint32_t activity_count, lag_count, promise_count, missed_count;
    mw_plan_activity activities[MOST]; /* need_count: how many rows of needs[] belong to it */
    mw_plan_need needs[MOST];
    mw_plan_lag lags[MOST];
    mw_plan_promise promises[MOST];
    uint32_t missed[MOST];
    want wants[MOST];
} plan_row;

#define WORK(hours, calendar_) .work_s = HOURS(hours), .calendar = (calendar_), .earliest_s = ANY
#define PARTED                 .interrupt = true
#define NEXT(from_, to_, calendar_, hours)                                       \
    {                                                                            \
        .from = (from_), .to = (to_), .from_end = true, .calendar = (calendar_), \
        .amount_s = HOURS(hours)                                                 \
    }
#define START_TO_END_WITHIN(from_, to_, calendar_, hours)                                       \
    {                                                                                           \
        .from = (from_), .to = (to_), .to_end = true, .maximum = true, .calendar = (calendar_), \
        .amount_s = HOURS(hours)                                                                \
    }
#define AT_START 0.0 /* ready when it starts */
#define AT_ONCE  MW_PLAN_AT_ONCE, MW_NONE, AT_START
#define NO_DATE  NEVER, NEVER

static const plan_row rows[] = {
    {.name = "begins when the shift does",
     .by_hand = "midnight -> 07:30; 07:30 + 4 h = 11:30",
     .activity_count = 1,
     .activities = {{WORK(4, DAY), PARTED}},
     .wants = {{JAN(11, 7, 30), JAN(11, 11, 30), AT_ONCE}}},
    {.name = "work that fills the shift ends that evening",
     .by_hand = "4.5 h to 12:00, 4 h from 12:30 to 16:30, not 07:30 on Tuesday",
     .activity_count = 1,
     .activities = {{WORK(8.5, DAY)}},
     .wants = {{JAN(11, 7, 30), JAN(11, 16, 30), AT_ONCE}}},
    {.name = "work that may be parted goes on the next day",
     .by_hand = "10 h = 8.5 h on Monday + 1.5 h on Tuesday: 09:00",
     .activity_count = 1,
     .activities = {{WORK(10, DAY), PARTED}},
     .wants = {{JAN(11, 7, 30), JAN(12, 9, 0), AT_ONCE}}},
    {.name = "over the weekend",
     .by_hand = "Friday 15 from 15:00: 1.5 h; Saturday and Sunday closed; 1 h on Monday 18",
     .activity_count = 1,
     .activities = {{.work_s = HOURS(2.5), .calendar = DAY, .earliest_s = JAN(15, 15, 0), PARTED}},
     .wants = {{JAN(15, 15, 0), JAN(18, 8, 30), AT_ONCE}}},
    {.name = "the noon break does not part a run",
     .by_hand = "from 10:00: 2 h to 12:00, 3 h from 12:30: 15:30",
     .activity_count = 1,
     .activities = {{.work_s = HOURS(5), .calendar = DAY, .earliest_s = JAN(11, 10, 0)}},
     .wants = {{JAN(11, 10, 0), JAN(11, 15, 30), AT_ONCE}}},
    {.name = "what does not fit the rest of the day waits for the next",
     .by_hand = "12:30 to 16:30 is 4 h < 5 h; Tuesday 07:30 + 4.5 h = 12:00, 0.5 h more: 13:00",
     .activity_count = 1,
     .activities = {{.work_s = HOURS(5), .calendar = DAY, .earliest_s = JAN(11, 12, 0)}},
     .wants = {{JAN(12, 7, 30), JAN(12, 13, 0), MW_PLAN_SHIFT, DAY, AT_START}}},
    {.name = "a break of 90 minutes is none",
     .by_hand = "08:00 to 12:00 is 4 h, 13:30 + 1 h = 14:30",
     .activity_count = 1,
     .activities = {{WORK(5, BREAK_90)}},
     .wants = {{JAN(11, 8, 0), JAN(11, 14, 30), AT_ONCE}}},
    {.name = "a break of 91 minutes is a closing",
     .by_hand = "runs of 4 h each: 5 h fit none",
     .activity_count = 1,
     .activities = {{WORK(5, BREAK_91)}},
     .wants = {{NO_DATE, MW_PLAN_SHIFT, BREAK_91, NEVER}}},
    {.name = "a run as long as the work serves",
     .by_hand = "4 h in a run of 4 h",
     .activity_count = 1,
     .activities = {{WORK(4, BREAK_91)}},
     .wants = {{JAN(11, 8, 0), JAN(11, 12, 0), AT_ONCE}}},
    {.name = "a night shift is one run over midnight",
     .by_hand = "22:00 + 8 h = 06:00",
     .activity_count = 1,
     .activities = {{WORK(8, NIGHT)}},
     .wants = {{JAN(11, 22, 0), JAN(12, 6, 0), AT_ONCE}}},
    {.name = "cure runs over night, people come in the morning",
     .by_hand = "16:30 + 12 h = 04:30; the shift opens at 07:30",
     .activity_count = 2,
     .activities = {{WORK(8.5, DAY), PARTED}, {WORK(2, DAY), PARTED}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, ALWAYS, 12)},
     .wants = {{JAN(11, 7, 30), JAN(11, 16, 30), AT_ONCE},
               {JAN(12, 7, 30), JAN(12, 9, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "cure in the cold night takes twice as long",
     .by_hand = "6 h from 16:30: 1.5 h to 18:00, 4.5 h at rate 0.5 = 9 h: 03:00",
     .activity_count = 2,
     .activities = {{WORK(8.5, DAY), PARTED}, {WORK(1, ALWAYS), PARTED}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, CURE, 6)},
     .wants = {{JAN(11, 7, 30), JAN(11, 16, 30), AT_ONCE},
               {JAN(12, 3, 0), JAN(12, 4, 0), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "a wait on the shift ends at closing time",
     .by_hand = "12:00 + 4 h of shift = 16:30, the closing; the night shift opens at 22:00",
     .activity_count = 2,
     .activities = {{WORK(4.5, DAY)}, {WORK(1, NIGHT)}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, DAY, 4)},
     .wants = {{JAN(11, 7, 30), JAN(11, 12, 0), AT_ONCE},
               {JAN(11, 22, 0), JAN(11, 23, 0), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "start to start",
     .by_hand = "07:30 + 2 h = 09:30, while the first goes on to 12:00",
     .activity_count = 2,
     .activities = {{WORK(4.5, DAY)}, {WORK(1, DAY)}},
     .lag_count = 1,
     .lags = {{.from = 0, .to = 1, .calendar = ALWAYS, .amount_s = HOURS(2)}},
     .wants = {{JAN(11, 7, 30), JAN(11, 12, 0), AT_ONCE},
               {JAN(11, 9, 30), JAN(11, 10, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "start to end",
     .by_hand = "the end not before 07:30 + 6 h = 13:30: 1 h from 12:30 and 1 h up to 12:00",
     .activity_count = 2,
     .activities = {{WORK(4.5, DAY)}, {WORK(2, DAY)}},
     .lag_count = 1,
     .lags = {{.from = 0, .to = 1, .to_end = true, .calendar = ALWAYS, .amount_s = HOURS(6)}},
     .wants = {{JAN(11, 7, 30), JAN(11, 12, 0), AT_ONCE},
               {JAN(11, 11, 0), JAN(11, 13, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "end to end",
     .by_hand = "the end not before 12:00 + 1.5 h = 13:30, as above",
     .activity_count = 2,
     .activities = {{WORK(4.5, DAY)}, {WORK(2, DAY)}},
     .lag_count = 1,
     .lags = {{.from = 0,
               .to = 1,
               .from_end = true,
               .to_end = true,
               .calendar = ALWAYS,
               .amount_s = HOURS(1.5)}},
     .wants = {{JAN(11, 7, 30), JAN(11, 12, 0), AT_ONCE},
               {JAN(11, 11, 0), JAN(11, 13, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "an end in the night leaves a last minute of work for the morning",
     .by_hand = "the end not before 16:30 + 10.5 h = 03:00; 119 min before 16:30 = 14:31; 07:31",
     .activity_count = 2,
     .activities = {{WORK(8.5, DAY)}, {WORK(2, DAY), PARTED}},
     .lag_count = 1,
     .lags = {{.from = 0,
               .to = 1,
               .from_end = true,
               .to_end = true,
               .calendar = ALWAYS,
               .amount_s = HOURS(10.5)}},
     .wants = {{JAN(11, 7, 30), JAN(11, 16, 30), AT_ONCE},
               {JAN(11, 14, 31), JAN(12, 7, 31), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "an end in the night moves work that may not be parted to the morning",
     .by_hand = "as above, but in one run: 07:30 + 2 h",
     .activity_count = 2,
     .activities = {{WORK(8.5, DAY)}, {WORK(2, DAY)}},
     .lag_count = 1,
     .lags = {{.from = 0,
               .to = 1,
               .from_end = true,
               .to_end = true,
               .calendar = ALWAYS,
               .amount_s = HOURS(10.5)}},
     .wants = {{JAN(11, 7, 30), JAN(11, 16, 30), AT_ONCE},
               {JAN(12, 7, 30), JAN(12, 9, 30), MW_PLAN_SHIFT, DAY, AT_START}}},
    {.name = "not before its own earliest time",
     .by_hand = "Wednesday 10:00 + 1 h",
     .activity_count = 1,
     .activities = {{.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(13, 10, 0)}},
     .wants = {{JAN(13, 10, 0), JAN(13, 11, 0), AT_ONCE}}},
    {.name = "a moment without work needs no open shift",
     .by_hand = "16:30 + 3 h = 19:30",
     .activity_count = 2,
     .activities = {{WORK(8.5, DAY)}, {WORK(0, CLOSED)}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, ALWAYS, 3)},
     .wants = {{JAN(11, 7, 30), JAN(11, 16, 30), AT_ONCE},
               {JAN(11, 19, 30), JAN(11, 19, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "the second queues for the crew",
     .by_hand = "two of two people each: 07:30 to 09:30, then 09:30 to 12:00",
     .activity_count = 2,
     .activities = {{WORK(2, DAY), .need_count = 1}, {WORK(2.5, DAY), .need_count = 1}},
     .needs = {{CREW, 2, false}, {CREW, 1, false}},
     .wants = {{JAN(11, 7, 30), JAN(11, 9, 30), AT_ONCE},
               {JAN(11, 9, 30), JAN(11, 12, 0), MW_PLAN_RESOURCE, CREW, JAN(11, 7, 30)}}},
    {.name = "one each work side by side, the third queues",
     .by_hand = "07:30 to 08:30 and to 09:30; the third from 08:30",
     .activity_count = 3,
     .activities = {{WORK(1, DAY), .need_count = 1},
                    {WORK(2, DAY), .need_count = 1},
                    {WORK(3, DAY), .need_count = 1}},
     .needs = {{CREW, 1, false}, {CREW, 1, false}, {CREW, 1, false}},
     .wants = {{JAN(11, 7, 30), JAN(11, 8, 30), AT_ONCE},
               {JAN(11, 7, 30), JAN(11, 9, 30), AT_ONCE},
               {JAN(11, 8, 30), JAN(11, 11, 30), MW_PLAN_RESOURCE, CREW, JAN(11, 7, 30)}}},
    {.name = "a later activity fills the gap before an earlier one",
     .by_hand = "the first has its 2 people from 10:00; 2.5 h fit before it, from 07:30 to 10:00",
     .activity_count = 2,
     .activities =
         {{.work_s = HOURS(2), .calendar = DAY, .earliest_s = JAN(11, 10, 0), .need_count = 1},
          {WORK(2.5, DAY), .need_count = 1}},
     .needs = {{CREW, 2, false}, {CREW, 1, false}},
     .wants = {{JAN(11, 10, 0), JAN(11, 12, 0), AT_ONCE},
               {JAN(11, 7, 30), JAN(11, 10, 0), AT_ONCE}}},
    {.name = "more people than there are: never, nor what follows; others go on",
     .by_hand = "3 of 2",
     .activity_count = 3,
     .activities = {{WORK(2, DAY), .need_count = 1}, {WORK(1, DAY)}, {WORK(1, DAY)}},
     .needs = {{CREW, 3, false}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, ALWAYS, 1)},
     .wants = {{NO_DATE, MW_PLAN_RESOURCE, CREW, JAN(11, 7, 30)},
               {NO_DATE, MW_PLAN_LAG, 0, NEVER},
               {JAN(11, 7, 30), JAN(11, 8, 30), AT_ONCE}}},
    {.name = "two needs of one resource count together",
     .by_hand = "1 + 2 of 2",
     .activity_count = 1,
     .activities = {{WORK(2, DAY), .need_count = 2}},
     .needs = {{CREW, 1, false}, {CREW, 2, true}},
     .wants = {{NO_DATE, MW_PLAN_RESOURCE, CREW, JAN(11, 7, 30)}}},
    {.name = "a calendar that never opens: never",
     .by_hand = "no shift at all",
     .activity_count = 1,
     .activities = {{WORK(2, CLOSED), PARTED}},
     .wants = {{NO_DATE, MW_PLAN_SHIFT, CLOSED, NEVER}}},
    {.name = "a wait on a calendar that never opens: never",
     .by_hand = "no cure at all",
     .activity_count = 2,
     .activities = {{WORK(2, DAY)}, {WORK(1, DAY)}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, CLOSED, 1)},
     .wants = {{JAN(11, 7, 30), JAN(11, 9, 30), AT_ONCE}, {NO_DATE, MW_PLAN_LAG, 0, NEVER}}},
    {.name = "the oven is held while it cures",
     .by_hand = "07:30 + 2 h = 09:30, + 4 h = 13:30: then the oven is free",
     .activity_count = 3,
     .activities = {{WORK(2, DAY), .need_count = 1},
                    {WORK(1, DAY)},
                    {WORK(1, DAY), .need_count = 1}},
     .needs = {{OVEN, 1, true}, {OVEN, 1, false}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, ALWAYS, 4)},
     .wants = {{JAN(11, 7, 30), JAN(11, 9, 30), AT_ONCE},
               {JAN(11, 13, 30), JAN(11, 14, 30), MW_PLAN_LAG, 0, AT_START},
               {JAN(11, 13, 30), JAN(11, 14, 30), MW_PLAN_RESOURCE, OVEN, JAN(11, 7, 30)}}},
    {.name = "the crew is not held while it cures",
     .by_hand = "free at 09:30",
     .activity_count = 3,
     .activities = {{WORK(2, DAY), .need_count = 1},
                    {WORK(1, DAY)},
                    {WORK(1, DAY), .need_count = 1}},
     .needs = {{CREW, 2, false}, {CREW, 1, false}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, ALWAYS, 4)},
     .wants = {{JAN(11, 7, 30), JAN(11, 9, 30), AT_ONCE},
               {JAN(11, 13, 30), JAN(11, 14, 30), MW_PLAN_LAG, 0, AT_START},
               {JAN(11, 9, 30), JAN(11, 10, 30), MW_PLAN_RESOURCE, CREW, JAN(11, 7, 30)}}},
    {.name = "a cure does not begin where the oven is promised during it",
     .by_hand = "2 h + 11 h of oven from 00:00 run into the promise at 12:00, which ends on "
                "Tuesday 00:00; 02:00 + 11 h = 13:00",
     .activity_count = 2,
     .activities = {{WORK(2, ALWAYS), .need_count = 1}, {WORK(1, ALWAYS)}},
     .needs = {{OVEN, 1, true}},
     .lag_count = 1,
     .lags = {NEXT(0, 1, ALWAYS, 11)},
     .promise_count = 1,
     .promises = {{OVEN, 1, JAN(11, 12, 0), JAN(12, 0, 0)}},
     .wants = {{JAN(12, 0, 0), JAN(12, 2, 0), MW_PLAN_RESOURCE, OVEN, JAN(11, 0, 0)},
               {JAN(12, 13, 0), JAN(12, 14, 0), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "the mill is promised: work waits until it fits",
     .by_hand = "07:30 to 09:00 is too short for 4 h; free on Wednesday 00:00; 07:30",
     .activity_count = 1,
     .activities = {{WORK(4, DAY), PARTED, .need_count = 1}},
     .needs = {{MILL, 1, false}},
     .promise_count = 1,
     .promises = {{MILL, 1, JAN(11, 9, 0), JAN(13, 0, 0)}},
     .wants = {{JAN(13, 7, 30), JAN(13, 11, 30), MW_PLAN_RESOURCE, MILL, JAN(11, 7, 30)}}},
    {.name = "promised for ever: never",
     .by_hand = "the mill does not come back",
     .activity_count = 1,
     .activities = {{WORK(4, DAY), PARTED, .need_count = 1}},
     .needs = {{MILL, 1, false}},
     .promise_count = 1,
     .promises = {{MILL, 1, ANY, NEVER}},
     .wants = {{NO_DATE, MW_PLAN_RESOURCE, MILL, JAN(11, 7, 30)}}},
    {.name = "a half-milled block stays on the mill over night",
     .by_hand = "10 h end on Tuesday 09:00, so the night shift gets the mill on Tuesday 22:00 only",
     .activity_count = 2,
     .activities = {{WORK(10, DAY), PARTED, .need_count = 1}, {WORK(2, NIGHT), .need_count = 1}},
     .needs = {{MILL, 1, false}, {MILL, 1, false}},
     .wants = {{JAN(11, 7, 30), JAN(12, 9, 0), AT_ONCE},
               {JAN(12, 22, 0), JAN(13, 0, 0), MW_PLAN_RESOURCE, MILL, JAN(11, 22, 0)}}},
    {.name = "what an early activity must follow comes with it",
     .by_hand = "the mill goes to the last, which the first waits for, before the second",
     .activity_count = 3,
     .activities = {{WORK(1, DAY)},
                    {WORK(2, DAY), .need_count = 1},
                    {WORK(1, DAY), .need_count = 1}},
     .needs = {{MILL, 1, false}, {MILL, 1, false}},
     .lag_count = 1,
     .lags = {NEXT(2, 0, ALWAYS, 0)},
     .wants = {{JAN(11, 8, 30), JAN(11, 9, 30), MW_PLAN_LAG, 0, AT_START},
               {JAN(11, 8, 30), JAN(11, 10, 30), MW_PLAN_RESOURCE, MILL, JAN(11, 7, 30)},
               {JAN(11, 7, 30), JAN(11, 8, 30), AT_ONCE}}},
    {.name = "a coat too late in the day waits for the morning",
     .by_hand =
         "14:00 + 1 h, + 1 h wait = 16:00: 1 h more does not fit. Covered on Tuesday at 08:30, "
         "18.5 h after 14:00: 6 h before it is 02:30: both on Tuesday, 07:30 to 08:30 and 09:30 "
         "to 10:30",
     .activity_count = 2,
     .activities = {{.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(11, 14, 0)},
                    {WORK(1, DAY)}},
     .lag_count = 2,
     .lags = {NEXT(0, 1, ALWAYS, 1), START_TO_END_WITHIN(0, 1, ALWAYS, 6)},
     .wants = {{JAN(12, 7, 30), JAN(12, 8, 30), MW_PLAN_WINDOW, 1, JAN(11, 14, 0)},
               {JAN(12, 9, 30), JAN(12, 10, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "a chain of windows moves as a whole",
     .by_hand =
         "coat 12:30 to 13:30, coat 14:30 to 15:30, glass would be 07:30 to 10:30, 20 h after "
         "14:30: the second coat not before 03:30 + 1 h: Tuesday; then the first within 5 h: "
         "Tuesday. 07:30 to 08:30, 09:30 to 10:30, 10:30 to 12:00 and 12:30 to 14:00",
     .activity_count = 3,
     .activities = {{.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(11, 12, 30)},
                    {WORK(1, DAY)},
                    {WORK(3, DAY)}},
     .lag_count = 4,
     .lags = {NEXT(0, 1, ALWAYS, 1), NEXT(1, 2, ALWAYS, 0), START_TO_END_WITHIN(0, 1, ALWAYS, 5),
              START_TO_END_WITHIN(1, 2, ALWAYS, 6)},
     .wants = {{JAN(12, 7, 30), JAN(12, 8, 30), MW_PLAN_WINDOW, 2, JAN(11, 12, 30)},
               {JAN(12, 9, 30), JAN(12, 10, 30), MW_PLAN_LAG, 0, AT_START},
               {JAN(12, 10, 30), JAN(12, 14, 0), MW_PLAN_LAG, 1, AT_START}}},
    {.name = "only as much of a chain moves as must",
     .by_hand =
         "as above, but the first coat may be covered within 24 h: 10:30 - 24 h is before 12:30, "
         "so it stays. The second moves to Tuesday 07:30, glass 08:30 to 11:30",
     .activity_count = 3,
     .activities = {{.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(11, 12, 30)},
                    {WORK(1, DAY)},
                    {WORK(3, DAY)}},
     .lag_count = 4,
     .lags = {NEXT(0, 1, ALWAYS, 1), NEXT(1, 2, ALWAYS, 0), START_TO_END_WITHIN(0, 1, ALWAYS, 24),
              START_TO_END_WITHIN(1, 2, ALWAYS, 6)},
     .wants = {{JAN(11, 12, 30), JAN(11, 13, 30), AT_ONCE},
               {JAN(12, 7, 30), JAN(12, 8, 30), MW_PLAN_WINDOW, 3, JAN(11, 14, 30)},
               {JAN(12, 8, 30), JAN(12, 11, 30), MW_PLAN_LAG, 1, AT_START}}},
    {.name = "a window that no day is long enough for is missed, and nothing moves",
     .by_hand =
         "7 h and 2 h are more than the 8 h of the window; 14:30 to 16:30 comes too late by 1 h",
     .activity_count = 2,
     .activities = {{WORK(6, DAY)}, {WORK(2, DAY)}},
     .lag_count = 2,
     .lags = {NEXT(0, 1, ALWAYS, 0.5), START_TO_END_WITHIN(0, 1, ALWAYS, 8)},
     .missed_count = 1,
     .missed = {1},
     .wants = {{JAN(11, 7, 30), JAN(11, 14, 0), AT_ONCE},
               {JAN(11, 14, 30), JAN(11, 16, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "a window on the shift does not run at the weekend",
     .by_hand = "Friday 15:30 to Monday 09:30 is 1 + 2 h of shift <= 3 h",
     .activity_count = 2,
     .activities = {{.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(15, 14, 30)},
                    {.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(18, 9, 30)}},
     .lag_count = 2,
     .lags = {NEXT(0, 1, ALWAYS, 1),
              {.from = 0,
               .to = 1,
               .from_end = true,
               .maximum = true,
               .calendar = DAY,
               .amount_s = HOURS(3)}},
     .wants = {{JAN(15, 14, 30), JAN(15, 15, 30), AT_ONCE},
               {JAN(18, 9, 30), JAN(18, 10, 30), AT_ONCE}}},
    {.name = "a window of no length on the shift spans the night",
     .by_hand = "ends at 16:30, goes on at 07:30: no shift between",
     .activity_count = 2,
     .activities = {{WORK(8.5, DAY)}, {WORK(1, DAY)}},
     .lag_count = 2,
     .lags = {NEXT(0, 1, ALWAYS, 0),
              {.from = 0, .to = 1, .from_end = true, .maximum = true, .calendar = DAY}},
     .wants = {{JAN(11, 7, 30), JAN(11, 16, 30), AT_ONCE},
               {JAN(12, 7, 30), JAN(12, 8, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "tack lasts longer in the cold night",
     .by_hand = "16:30 to 07:30: 1.5 h + 13 h at 0.5 + 0.5 h = 8.5 h of cure <= 9 h",
     .activity_count = 2,
     .activities = {{WORK(8.5, DAY)}, {WORK(1, DAY)}},
     .lag_count = 2,
     .lags = {NEXT(0, 1, CURE, 2),
              {.from = 0,
               .to = 1,
               .from_end = true,
               .maximum = true,
               .calendar = CURE,
               .amount_s = HOURS(9)}},
     .wants = {{JAN(11, 7, 30), JAN(11, 16, 30), AT_ONCE},
               {JAN(12, 7, 30), JAN(12, 8, 30), MW_PLAN_LAG, 0, AT_START}}},
    {.name = "an end told to wait goes no further than it must",
     .by_hand =
         "the second begins on Wednesday 07:30; 20 h before it is Tuesday 11:30: 4 h from 07:30",
     .activity_count = 2,
     .activities = {{WORK(4, DAY)},
                    {.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(13, 7, 30)}},
     .lag_count = 1,
     .lags = {{.from = 0,
               .to = 1,
               .from_end = true,
               .maximum = true,
               .calendar = ALWAYS,
               .amount_s = HOURS(20)}},
     .wants = {{JAN(12, 7, 30), JAN(12, 11, 30), MW_PLAN_WINDOW, 0, JAN(11, 7, 30)},
               {JAN(13, 7, 30), JAN(13, 8, 30), AT_ONCE}}},
    {.name = "a window on an activity itself keeps it out of the night",
     .by_hand = "15:30 to 16:30 and 07:30 to 08:30 is 17 h > 4 h: not before 04:30: Tuesday 07:30",
     .activity_count = 1,
     .activities = {{.work_s = HOURS(2), .calendar = DAY, .earliest_s = JAN(11, 15, 30), PARTED}},
     .lag_count = 1,
     .lags = {START_TO_END_WITHIN(0, 0, ALWAYS, 4)},
     .wants = {{JAN(12, 7, 30), JAN(12, 9, 30), MW_PLAN_WINDOW, 0, JAN(11, 15, 30)}}},
    {.name = "a window is kept up to 30 days on",
     .by_hand =
         "from the 11th 07:30, 30 days are the 10th of February 07:30 = 41st of January; 4 h "
         "before 11:30 is 07:30",
     .activity_count = 2,
     .activities = {{WORK(1, ALWAYS)},
                    {.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(40, 7, 30)}},
     .lag_count = 1,
     .lags = {{.from = 0, .to = 1, .maximum = true, .calendar = ALWAYS, .amount_s = HOURS(4)}},
     .wants = {{JAN(40, 3, 30), JAN(40, 4, 30), MW_PLAN_WINDOW, 0, JAN(11, 0, 0)},
               {JAN(40, 7, 30), JAN(40, 8, 30), AT_ONCE}}},
    {.name = "a window more than 30 days on is missed",
     .by_hand = "the second on the 42nd of January = Thursday 11 February",
     .activity_count = 2,
     .activities = {{WORK(1, ALWAYS)},
                    {.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(42, 7, 30)}},
     .lag_count = 1,
     .lags = {{.from = 0, .to = 1, .maximum = true, .calendar = ALWAYS, .amount_s = HOURS(4)}},
     .missed_count = 1,
     .missed = {0},
     .wants = {{JAN(11, 0, 0), JAN(11, 1, 0), AT_ONCE}, {JAN(42, 7, 30), JAN(42, 8, 30), AT_ONCE}}},
    {.name = "a window after which nothing ever comes is missed",
     .by_hand = "3 of 2 people for the second",
     .activity_count = 2,
     .activities = {{WORK(1, DAY)}, {WORK(1, DAY), .need_count = 1}},
     .needs = {{CREW, 3, false}},
     .lag_count = 1,
     .lags = {{.from = 0, .to = 1, .maximum = true, .calendar = ALWAYS, .amount_s = HOURS(4)}},
     .missed_count = 1,
     .missed = {0},
     .wants = {{JAN(11, 7, 30), JAN(11, 8, 30), AT_ONCE},
               {NO_DATE, MW_PLAN_RESOURCE, CREW, JAN(11, 7, 30)}}},
    {.name = "windows are kept beside one after which nothing ever comes",
     .by_hand = "the coats go to Tuesday, as above; 3 of 2 people for the third",
     .activity_count = 3,
     .activities = {{.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(11, 14, 0)},
                    {WORK(1, DAY)},
                    {WORK(1, DAY), .need_count = 1}},
     .needs = {{CREW, 3, false}},
     .lag_count = 3,
     .lags = {NEXT(0, 1, ALWAYS, 1), START_TO_END_WITHIN(0, 1, ALWAYS, 6),
              START_TO_END_WITHIN(1, 2, ALWAYS, 6)},
     .missed_count = 1,
     .missed = {2},
     .wants = {{JAN(12, 7, 30), JAN(12, 8, 30), MW_PLAN_WINDOW, 1, JAN(11, 14, 0)},
               {JAN(12, 9, 30), JAN(12, 10, 30), MW_PLAN_LAG, 0, AT_START},
               {NO_DATE, MW_PLAN_RESOURCE, CREW, JAN(11, 7, 30)}}},
    {.name = "a window missed by a second in every start before noon waits for the break to pass",
     .by_hand = "2 h across noon take 2.5 h, a second too long, whenever they start between 10:00 "
                "and 12:00; from 12:30 they take 2 h",
     .activity_count = 1,
     .activities = {{.work_s = HOURS(2), .calendar = DAY, .earliest_s = JAN(11, 10, 10)}},
     .lag_count = 1,
     .lags = {START_TO_END_WITHIN(0, 0, ALWAYS, 2.5 - 1.0 / 3600.0)},
     .wants = {{JAN(11, 12, 30), JAN(11, 14, 30), MW_PLAN_WINDOW, 0, JAN(11, 10, 10)}}},
    {.name = "a window moves a coat past other work, which then goes before it",
     .by_hand =
         "the coats go to Tuesday, as above; the third work, last in order, takes the crew on "
         "Monday from 12:30",
     .activity_count = 3,
     .activities =
         {{.work_s = HOURS(1), .calendar = DAY, .earliest_s = JAN(11, 14, 0), .need_count = 1},
          {WORK(1, DAY), .need_count = 1},
          {.work_s = HOURS(4), .calendar = DAY, .earliest_s = JAN(11, 12, 30), .need_count = 1}},
     .needs = {{CREW, 2, false}, {CREW, 2, false}, {CREW, 2, false}},
     .lag_count = 2,
     .lags = {NEXT(0, 1, ALWAYS, 1), START_TO_END_WITHIN(0, 1, ALWAYS, 6)},
     .wants = {{JAN(12, 7, 30), JAN(12, 8, 30), MW_PLAN_WINDOW, 1, JAN(11, 14, 0)},
               {JAN(12, 9, 30), JAN(12, 10, 30), MW_PLAN_LAG, 0, AT_START},
               {JAN(11, 12, 30), JAN(11, 16, 30), AT_ONCE}}},
};

static builder *build_row(const plan_row *row)
{
    builder *b = new_shop_builder(JAN(11, 0, 0));
    for (int i = 0; i < RESOURCES; i++) {
        add_resource(b, capacity_rows[i]);
    }
    uint32_t need = 0;
    for (uint32_t i = 0; i < row->activity_count; i++) {
        add_activity(b, row->activities[i]);
        for (uint32_t n = 0; n < row->activities[i].need_count; n++) {
            add_need(b, row->needs[need++]);
        }
    }
    for (uint32_t i = 0; i < row->lag_count; i++) {
        add_lag(b, row->lags[i]);
    }
    for (uint32_t i = 0; i < row->promise_count; i++) {
        add_promise(b, row->promises[i]);
    }
    return b;
}

static void look_at_slot(const plan_row *row, uint32_t index, const mw_plan_slot *got)
{
    const want *w = &row->wants[index];
    double ready_s = w->ready_s == AT_START ? w->start_s : w->ready_s;
    if (got->start_s != w->start_s || got->end_s != w->end_s || got->reason != w->reason ||
        got->binding != w->binding || got->ready_s != ready_s) {
        fail_msg(
            "%s (%s): activity %u: %.17g to %.17g, ready %.17g, reason %d by %u; wanted %.17g to "
            "%.17g, ready %.17g, reason %d by %u",
            row->name, row->by_hand, (unsigned)index, got->start_s, got->end_s, got->ready_s,
            (int)got->reason, (unsigned)got->binding, w->start_s, w->end_s, ready_s, (int)w->reason,
            (unsigned)w->binding);
    }
}

static void plan_by_hand(void **state)
{
    const plan_row *row = *state;
    builder *b = build_row(row);
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    const mw_plan_slot *slots = mw_plan_slots(plan);
    for (uint32_t i = 0; i < row->activity_count; i++) {
        look_at_slot(row, i, &slots[i]);
    }
    uint32_t count = 0;
    const uint32_t *missed = mw_plan_missed(plan, &count);
    assert_int_equal(count, row->missed_count);
    for (uint32_t i = 0; i < count; i++) {
        assert_int_equal(missed[i], row->missed[i]);
    }
    assert_right_plan(plan, &b->problem, row->name);
    mw_plan_free(plan);
    free_builder(b);
}

int main(void)
{
    return run_rows("plans worked out by hand", rows, plan_by_hand);
}
