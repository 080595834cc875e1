/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Calendars of a shop against hand arithmetic: shifts with holidays, part days and nights, and the speed of cure
 * by the room's temperature. That cure goes twice as fast per so many kelvin is common practice, no source;
 * here it is only checked that it is worked out so. */
#include "support.h"

#include <math.h>
#include <string.h>

#include "mouldwright/recipe.h"

#define HOUR_S 3600.0
#define DAY_S  86400.0
#define ZERO_K 273.15

/* Days since 1970-01-01: 57 years of 365 days and 14 leap days up to 2027-01-01, a Friday. */
enum {
    MONDAY = 57 * 365 + 14 + 3, /* 2027-01-04 */
    TUESDAY,
    WEDNESDAY,
    THURSDAY,
    FRIDAY,
    SATURDAY,
    SUNDAY,
    MARCH_31 = MONDAY + 86,
    JULY_1 = MONDAY + 178,
};

/* --- shifts ----------------------------------------------------------------------------------- */

static const mw_shift shifts[] = {
    {.name = {"day", 3},
     .day = {{{480, 720, 1}, {750, 990, 1}}, /* 08:00-12:00, 12:30-16:30 */
             {{480, 720, 1}, {750, 990, 1}},
             {{480, 720, 1}, {750, 990, 1}},
             {{480, 720, 1}, {750, 990, 1}},
             {{480, 720, 1}}},
     .stretch_count = {2, 2, 2, 2, 1, 0, 0}},
    {.name = {"late shift", 10},
     .day = {{{840, 1320, 1}}, {{840, 1320, 1}}}, /* 14:00-22:00 */
     .stretch_count = {1, 1, 0, 0, 0, 0, 0}},
    {.name = {"night", 5},
     .day = {{{1320, 1800, 1}}, {{1320, 1800, 1}}, {{1320, 1800, 1}}}, /* 22:00-06:00 */
     .stretch_count = {1, 1, 1, 0, 0, 0, 0}},
};

/* Wednesday is a holiday; on Thursday work is from 08:00 to 10:00, in every shift. */
static const mw_day_row days[] = {
    {.day = WEDNESDAY},
    {.day = THURSDAY, .stretches = {{480, 600, 1}}, .count = 1},
};

/* Months of winter: January, February, March, November, December. */
enum { ALL_YEAR = 0xfff, WINTER = 0xc07 };

static const mw_season seasons[] = {
    {ALL_YEAR, ZERO_K + 20, ZERO_K + 16, 420, 1080}, /* 07:00 to 18:00 */
    {WINTER, ZERO_K + 19, ZERO_K + 12, 420, 1020},   /* 07:00 to 17:00 */
};

static const mw_shop shop = {.shifts = shifts,
                             .shift_count = 3,
                             .days = days,
                             .day_count = 2,
                             .seasons = seasons,
                             .season_count = 2};

static double moment(int32_t day, double hour)
{
    return day * DAY_S + hour * HOUR_S;
}

typedef struct amount_row {
    const char *name;
    const char *shift;
    int32_t day;
    double from_h, to_h; /* of that day; beyond 24 it is a later one */
    double hours;
} amount_row;

static const amount_row amounts[] = {
    {"the first is the usual one", "", MONDAY, 0, 24, 8},
    {"by name", "day", MONDAY, 0, 24, 8},
    {"the morning", "day", MONDAY, 0, 12, 4},
    {"across the break", "day", MONDAY, 11, 13, 1.5},
    {"in the break", "day", MONDAY, 12, 12.5, 0},
    {"before it opens", "day", MONDAY, 0, 8, 0},
    {"Friday", "day", FRIDAY, 0, 24, 4},
    {"weekend", "day", SATURDAY, 0, 48, 0},
    {"holiday", "day", WEDNESDAY, 0, 24, 0},
    {"part day", "day", THURSDAY, 0, 24, 2},
    {"week with both", "day", MONDAY, 0, 7 * 24, 8 + 8 + 0 + 2 + 4},
    {"week without", "day", MONDAY + 7, 0, 7 * 24, 4 * 8 + 4},
    {"name without case, with a dash", "Late-Shift", MONDAY, 0, 24, 8},
    {"part day in every shift", "late shift", THURSDAY, 0, 24, 2},
    {"night from its day on", "night", MONDAY, 0, 24, 2},
    {"night as a whole", "night", MONDAY, 22, 30, 8},
    {"night into a holiday", "night", WEDNESDAY, 0, 24, 6},
    {"no night after a holiday", "night", THURSDAY, 0, 7, 0},
    {"always", "always", MONDAY, 0, 24, 24},
    {"always on a Sunday", "always", SUNDAY, 0, 24, 24},
    {"always on a holiday", "always", WEDNESDAY, 0, 24, 24},
    {"always over months", "always", MONDAY, 0, 24 * 100, 24 * 100},
};

static void shift_amount(void **state)
{
    const amount_row *row = *state;
    mw_calendar *calendar = mw_shop_shift(&shop, mw_str_of(row->shift));
    assert_non_null(calendar);
    double got =
        mw_calendar_amount(calendar, moment(row->day, row->from_h), moment(row->day, row->to_h));
    assert_close(got / HOUR_S, row->hours, 1e-9);
    mw_calendar_free(calendar);
}

typedef struct advance_row {
    const char *name;
    const char *shift;
    int32_t day;
    double from_h, hours;
    int32_t end_day;
    double end_h;
} advance_row;

static const advance_row advances[] = {
    {"within a stretch", "day", MONDAY, 8, 3, MONDAY, 11},
    {"up to the break", "day", MONDAY, 8, 4, MONDAY, 12},
    {"over the break", "day", MONDAY, 8, 5, MONDAY, 13.5},
    {"to the next day", "day", MONDAY, 8, 10, TUESDAY, 10},
    {"over the holiday", "day", TUESDAY, 8, 10, THURSDAY, 10},
    {"over the part day", "day", TUESDAY, 8, 11, FRIDAY, 9},
    {"over the weekend", "day", FRIDAY, 8, 5, MONDAY + 7, 9},
    {"from a closed hour", "day", SATURDAY, 3, 1, MONDAY + 7, 9},
    {"over midnight", "night", MONDAY, 22, 5, TUESDAY, 3},
    {"to the next night", "night", MONDAY, 22, 9, TUESDAY, 23},
    {"around the clock", "always", FRIDAY, 20, 30, SUNDAY, 2},
};

static void shift_advance(void **state)
{
    const advance_row *row = *state;
    mw_calendar *calendar = mw_shop_shift(&shop, mw_str_of(row->shift));
    assert_non_null(calendar);
    double got = mw_calendar_advance(calendar, moment(row->day, row->from_h), row->hours * HOUR_S);
    assert_close(got - moment(row->end_day, row->end_h), 0, 1e-3);
    mw_calendar_free(calendar);
}

static void shift_unknown(void **state)
{
    (void)state;
    assert_null(mw_shop_shift(&shop, mw_str_of("early")));
    mw_shop none = shop;
    none.shift_count = 0;
    assert_null(mw_shop_shift(&none, mw_str_of("")));
}

/* What no calendar takes is handed back as none at all: stretches that overlap. */
static void shift_refused(void **state)
{
    (void)state;
    static const mw_shift overlapping[] = {
        {.name = {"x", 1}, .day = {{{480, 720, 1}, {700, 990, 1}}}, .stretch_count = {2}}};
    mw_shop broken = {.shifts = overlapping, .shift_count = 1};
    assert_null(mw_shop_shift(&broken, mw_str_of("x")));
}

/* --- cure ------------------------------------------------------------------------------------- */

typedef struct cure_row {
    const char *name;
    double reference_c, doubling_k, day_shift_k, night_shift_k;
    int32_t day;
    double hour;
    double rate; /* 2^((T - reference) / doubling), worked out beside the row */
} cure_row;

static const cure_row cures[] = {
    {"winter night", 20, 10, 0, 0, MONDAY, 3, 0.5743491774985174}, /* 2^((12 - 20) / 10) */
    {"winter day", 20, 10, 0, 0, MONDAY, 12, 0.9330329915368074},  /* 2^((19 - 20) / 10) */
    {"winter evening", 20, 10, 0, 0, MONDAY, 23, 0.5743491774985174},
    {"the day begins", 20, 10, 0, 0, MONDAY, 7, 0.9330329915368074},
    {"before the day begins", 20, 10, 0, 0, MONDAY, 6.999, 0.5743491774985174},
    {"the day ends", 20, 10, 0, 0, MONDAY, 17, 0.5743491774985174},
    {"Sundays are no warmer", 20, 10, 0, 0, SUNDAY, 12, 0.9330329915368074},
    {"nor are holidays", 20, 10, 0, 0, WEDNESDAY, 12, 0.9330329915368074},
    {"summer day", 20, 10, 0, 0, JULY_1, 17.5, 1},
    {"summer night", 20, 10, 0, 0, JULY_1, 3, 0.7578582832551991}, /* 2^((16 - 20) / 10) */
    {"last night of winter", 20, 10, 0, 0, MARCH_31, 23.99, 0.5743491774985174},
    {"first night after it", 20, 10, 0, 0, MARCH_31 + 1, 0, 0.7578582832551991},
    {"heated by night", 20, 10, 0, 8, MONDAY, 3, 1},
    {"heated by night, by day", 20, 10, 0, 8, MONDAY, 12, 0.9330329915368074},
    {"heated by day", 20, 10, 5, 0, MONDAY, 12, 1.3195079107728942},   /* 2^((19 + 5 - 20) / 10) */
    {"other reference", 23, 10, 0, 0, JULY_1, 12, 0.8122523963562356}, /* 2^((20 - 23) / 10) */
    {"other doubling", 20, 8, 0, 0, MONDAY, 3, 0.5},                   /* 2^((12 - 20) / 8) */
    {"one doubling", 10, 10, 0, 0, JULY_1, 12, 2},
    {"far too warm is held", 20, 1e-9, 2, 0, MONDAY, 12, 0x1p100},
    {"far too cold is held", 20, 1e-9, 0, 0, MONDAY, 12, 0x1p-100},
};

static mw_cure_rule rule_of(const cure_row *row)
{
    return (mw_cure_rule){.reference_k = ZERO_K + row->reference_c,
                          .doubling_k = row->doubling_k,
                          .day_shift_k = row->day_shift_k,
                          .night_shift_k = row->night_shift_k};
}

static void cure_rate(void **state)
{
    const cure_row *row = *state;
    mw_cure_rule rule = rule_of(row);
    mw_calendar *calendar = mw_shop_cure(&shop, &rule);
    assert_non_null(calendar);
    double got = mw_calendar_rate(calendar, moment(row->day, row->hour));
    assert_near(got, row->rate, 1e-12);
    mw_calendar_free(calendar);
}

static const mw_cure_rule usual_rule = {.reference_k = ZERO_K + 20, .doubling_k = 10};

/* A wait of 12 h at 20 degrees, begun at 17:00 in winter: 14 h of night make 14 * 0.574349... =
 * 8.040888484979244 h of it; the rest of 3.959111515... h takes 4.243270... h of the day. */
static void cure_advance(void **state)
{
    (void)state;
    mw_calendar *calendar = mw_shop_cure(&shop, &usual_rule);
    assert_non_null(calendar);
    double got = mw_calendar_advance(calendar, moment(MONDAY, 17), 12 * HOUR_S);
    double day_h = (12 - 14 * 0.5743491774985174) / 0.9330329915368074;
    assert_close(day_h, 4.2432706, 1e-6);
    assert_close(got - moment(TUESDAY, 7 + day_h), 0, 1e-3);
    mw_calendar_free(calendar);
}

/* A winter day does 10 * 0.933033 + 14 * 0.574349 = 17.371218 h, a summer day 11 + 13 * 0.757858 =
 * 20.852158 h. */
static void cure_amount(void **state)
{
    (void)state;
    mw_calendar *calendar = mw_shop_cure(&shop, &usual_rule);
    assert_non_null(calendar);
    double winter = mw_calendar_amount(calendar, moment(MONDAY, 0), moment(TUESDAY, 0));
    double summer = mw_calendar_amount(calendar, moment(JULY_1, 0), moment(JULY_1 + 1, 0));
    assert_close(winter / HOUR_S, 17.371218, 1e-6);
    assert_close(summer / HOUR_S, 20.852158, 1e-6);
    mw_calendar_free(calendar);
}

/* A day of 24 hours has no night, one that begins at midnight has one part of it. */
static void cure_without_night(void **state)
{
    (void)state;
    mw_season whole[] = {{ALL_YEAR, ZERO_K + 30, ZERO_K, 0, 1440}};
    mw_shop warm = {.seasons = whole, .season_count = 1};
    mw_calendar *calendar = mw_shop_cure(&warm, &usual_rule);
    assert_non_null(calendar);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 0)), 2, 1e-12);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 23.99)), 2, 1e-12);
    mw_calendar_free(calendar);
    whole[0].day_to_minute = 720;
    calendar = mw_shop_cure(&warm, &usual_rule);
    assert_non_null(calendar);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 0)), 2, 1e-12);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 12)), 0.25,
                1e-12); /* 2^((0 - 20) / 10) */
    mw_calendar_free(calendar);
}

/* Arrhenius' law beside the reference of 20 degC: 57.5 kJ/mol makes 4.512 times 20 to 40 degC and
 * 16.99 times 20 to 60 degC (published check rows of the cure tests). A tent keeps what is colder at its
 * temperature and leaves alone what is warmer; the doubling rule goes on where there is no energy. */
static void cure_by_energy_and_tent(void **state)
{
    (void)state;
    mw_cure_rule rule = usual_rule;
    rule.energy_jmol = 57.5e3;
    rule.tent_k = ZERO_K + 40;
    mw_calendar *calendar = mw_shop_cure(&shop, &rule);
    assert_non_null(calendar);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 3)), 4.512, 1e-3);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 12)), 4.512, 1e-3);
    mw_calendar_free(calendar);
    rule.tent_k = ZERO_K + 60;
    calendar = mw_shop_cure(&shop, &rule);
    assert_non_null(calendar);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 3)), 16.99, 1e-3);
    mw_calendar_free(calendar);
    rule = usual_rule;
    rule.tent_k = ZERO_K + 15; /* a winter night has 12 degC, its day 19 */
    calendar = mw_shop_cure(&shop, &rule);
    assert_non_null(calendar);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 3)), 0.7071067811865476, 1e-12);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 12)), 0.9330329915368074, 1e-12);
    mw_calendar_free(calendar);
    rule = usual_rule;
    rule.energy_jmol = 57.5e3;
    rule.day_shift_k = -1e3; /* far below absolute zero: held where the rate is a number */
    calendar = mw_shop_cure(&shop, &rule);
    assert_non_null(calendar);
    assert_near(mw_calendar_rate(calendar, moment(MONDAY, 12)), 0x1p-100, 1e-12);
    mw_calendar_free(calendar);
}

static void cure_refused(void **state)
{
    (void)state;
    static const double doublings[] = {0, -10, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < sizeof doublings / sizeof doublings[0]; i++) {
        mw_cure_rule rule = usual_rule;
        rule.doubling_k = doublings[i];
        assert_null(mw_shop_cure(&shop, &rule));
    }
    mw_cure_rule rule = usual_rule;
    rule.energy_jmol = -1;
    assert_null(mw_shop_cure(&shop, &rule));
    rule.energy_jmol = (double)NAN;
    assert_null(mw_shop_cure(&shop, &rule));
    rule = usual_rule;
    rule.tent_k = -1;
    assert_null(mw_shop_cure(&shop, &rule));
    rule = usual_rule;
    rule.energy_jmol = 57.5e3;
    rule.reference_k = 0;
    assert_null(mw_shop_cure(&shop, &rule));
}

/* --- where the data do not reach -------------------------------------------------------------- */

typedef struct beyond_row {
    const char *name;
    double coldest_c, hottest_c; /* of the data; -ZERO_K: none given */
    double tent_c, night_shift_k;
    int32_t day;
    double hours; /* of 24 from midnight on for which the data do not reach */
} beyond_row;

/* A winter day: 12 degC for 14 h of night, 19 degC for 10 h. Without limits the rule of 20 degC is trusted from
 * -20 to 60 degC. */
static const beyond_row beyonds[] = {
    {"nights just within", 12, 30, -ZERO_K, 0, MONDAY, 0},
    {"nights a little too cold", 12.001, 30, -ZERO_K, 0, MONDAY, 14},
    {"a degree warmer", 11, 30, -ZERO_K, 0, MONDAY, 0},
    {"days just within", 0, 19, -ZERO_K, 0, MONDAY, 0},
    {"days a little too hot", 0, 18.999, -ZERO_K, 0, MONDAY, 10},
    {"neither reaches", 13, 18, -ZERO_K, 0, MONDAY, 24},
    {"a tent over cold nights", 15, 30, 15, 0, MONDAY, 0},
    {"a tent at the limit", 0, 50, 50, 0, MONDAY, 0},
    {"a tent beyond it", 0, 50, 50.001, 0, MONDAY, 24},
    {"no limits, tent at 60", -ZERO_K, -ZERO_K, 60, 0, MONDAY, 0},
    {"no limits, tent above 60", -ZERO_K, -ZERO_K, 60.001, 0, MONDAY, 24},
    {"no limits, night at -20", -ZERO_K, -ZERO_K, -ZERO_K, -32, MONDAY, 0},
    {"no limits, night below", -ZERO_K, -ZERO_K, -ZERO_K, -32.001, MONDAY, 14},
    {"heated nights", 12.001, 30, -ZERO_K, 1, MONDAY, 0},
    {"summer", 13, 30, -ZERO_K, 0, JULY_1, 0},
};

static void cure_beyond(void **state)
{
    const beyond_row *row = *state;
    mw_cure_rule rule = usual_rule;
    rule.energy_jmol = 50e3;
    rule.coldest_k = row->coldest_c + ZERO_K;
    rule.hottest_k = row->hottest_c + ZERO_K;
    rule.tent_k = row->tent_c + ZERO_K;
    rule.night_shift_k = row->night_shift_k;
    mw_calendar *calendar = mw_shop_cure_beyond(&shop, &rule);
    assert_non_null(calendar);
    double got = mw_calendar_amount(calendar, moment(row->day, 0), moment(row->day + 1, 0));
    assert_close(got / HOUR_S, row->hours, 1e-9);
    mw_calendar_free(calendar);
}

/* --- failing memory --------------------------------------------------------------------------- */

static support_outcome make_shift(void *context)
{
    const char *name = context;
    mw_calendar *calendar = mw_shop_shift(&shop, mw_str_of(name));
    bool made = calendar != NULL;
    mw_calendar_free(calendar);
    return made ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static support_outcome make_cure(void *context)
{
    (void)context;
    mw_calendar *calendar = mw_shop_cure(&shop, &usual_rule);
    mw_calendar *beyond = mw_shop_cure_beyond(&shop, &usual_rule);
    bool made = calendar != NULL && beyond != NULL;
    mw_calendar_free(calendar);
    mw_calendar_free(beyond);
    return made ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void without_memory(void **state)
{
    (void)state;
    static char day[] = "day";
    static char always[] = "always";
    assert_true(support_fail_each_allocation(make_shift, day) > 0);
    assert_true(support_fail_each_allocation(make_shift, always) > 0);
    assert_true(support_fail_each_allocation(make_cure, NULL) > 0);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "shift", amounts, shift_amount);
    test_add_rows(&list, "advance", advances, shift_advance);
    test_add(&list, shift_unknown);
    test_add(&list, shift_refused);
    test_add_rows(&list, "cure", cures, cure_rate);
    test_add(&list, cure_advance);
    test_add(&list, cure_amount);
    test_add(&list, cure_without_night);
    test_add(&list, cure_by_energy_and_tent);
    test_add(&list, cure_refused);
    test_add_rows(&list, "beyond", beyonds, cure_beyond);
    test_add(&list, without_memory);
    return test_run(&list, "recipe: calendars of a shop");
}
