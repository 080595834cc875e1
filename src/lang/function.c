/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The functions of the language. */
#include "mouldwright/function.h"

#include <math.h>

#include "function_known.h"
#include "mouldwright/date.h"

/* A part of the date that a moment falls on, which is rounded as it is where dates are shown. */
static double part_of(const double *arguments, int (*part)(int32_t day))
{
    if (!mw_moment_exists(arguments[0])) {
        return mw_error_value(MW_CODE_DATE_RANGE);
    }
    return part((int32_t)floor(floor(arguments[0] + 0.5) / MW_DAY_S));
}

static int year_of(int32_t day)
{
    return mw_date_of_day(day).year;
}

static int month_of(int32_t day)
{
    return mw_date_of_day(day).month;
}

static int day_of(int32_t day)
{
    return mw_date_of_day(day).day;
}

static int week_of(int32_t day)
{
    int year;
    int week;
    mw_day_week(day, &year, &week);
    return week;
}

static int iso_year_of(int32_t day)
{
    int year;
    int week;
    mw_day_week(day, &year, &week);
    return year;
}

#define DATE_CALL(name, part)                                               \
    static double name(void *host, const double *arguments, uint32_t count) \
    {                                                                       \
        (void)host, (void)count;                                            \
        return part_of(arguments, part);                                    \
    }

DATE_CALL(call_year, year_of)
DATE_CALL(call_month, month_of)
DATE_CALL(call_day, day_of)
DATE_CALL(call_weekday, mw_day_weekday)
DATE_CALL(call_week, week_of)
DATE_CALL(call_iso_year, iso_year_of)

static const mw_function functions[] = {
    [MW_FUNCTION_SUM] = {.name = "sum",
                         .takes = {"any ..."},
                         .names = {"values"},
                         .gives = "same",
                         .about = "The sum of a list, or of several values and lists.",
                         .example = "sum([6.4 m2, 3.1 m2, 3.1 m2])",
                         .result = "12.6 m2"},
    [MW_FUNCTION_MEAN] = {.name = "mean",
                          .takes = {"any ..."},
                          .names = {"values"},
                          .gives = "same",
                          .about = "The mean of a list, or of several values and lists.",
                          .example = "mean([18 degC, 21 degC])",
                          .result = "19.5 degC"},
    [MW_FUNCTION_SMALLEST] = {.name = "smallest",
                              .takes = {"any ..."},
                              .names = {"values"},
                              .gives = "same",
                              .about = "The smallest of a list, or of several values and lists.",
                              .example = "smallest(45 min, 1.5 h)",
                              .result = "45 min"},
    [MW_FUNCTION_LARGEST] = {.name = "largest",
                             .takes = {"any ..."},
                             .names = {"values"},
                             .gives = "same",
                             .about = "The largest of a list, or of several values and lists.",
                             .example = "largest([4, 6, 5])",
                             .result = "6"},
    [MW_FUNCTION_COUNT_OF] = {.name = "count",
                              .takes = {"list any"},
                              .names = {"list"},
                              .gives = "1",
                              .about = "How many values a list has.",
                              .example = "count([6.4 m2, 3.1 m2, 3.1 m2])",
                              .result = "3"},
    [MW_FUNCTION_SQRT] = {.name = "sqrt",
                          .takes = {"any"},
                          .names = {"x"},
                          .gives = "root of x",
                          .about = "The square root; of an area it is a length.",
                          .example = "sqrt(6.25 m2)",
                          .result = "2.5 m"},
    [MW_FUNCTION_EXP] = {.name = "exp",
                         .takes = {"1"},
                         .names = {"x"},
                         .gives = "1",
                         .about = "e raised to a plain number.",
                         .example = "exp(0)",
                         .result = "1"},
    [MW_FUNCTION_LN] = {.name = "ln",
                        .takes = {"1"},
                        .names = {"x"},
                        .gives = "1",
                        .about = "The natural logarithm of a plain number above 0.",
                        .example = "ln(exp(2.5))",
                        .result = "2.5"},
    [MW_FUNCTION_LOG10] = {.name = "log10",
                           .takes = {"1"},
                           .names = {"x"},
                           .gives = "1",
                           .about = "The logarithm to base ten of a plain number above 0.",
                           .example = "log10(1000)",
                           .result = "3"},
    [MW_FUNCTION_SIN] = {.name = "sin",
                         .takes = {"1"},
                         .names = {"angle"},
                         .gives = "1",
                         .about = "The sine of an angle; a plain number is in radians.",
                         .example = "round_to(sin(30 deg), 0.001)",
                         .result = "0.5"},
    [MW_FUNCTION_COS] = {.name = "cos",
                         .takes = {"1"},
                         .names = {"angle"},
                         .gives = "1",
                         .about = "The cosine of an angle; a plain number is in radians.",
                         .example = "round_to(cos(60 deg), 0.001)",
                         .result = "0.5"},
    [MW_FUNCTION_TAN] = {.name = "tan",
                         .takes = {"1"},
                         .names = {"angle"},
                         .gives = "1",
                         .about = "The tangent of an angle; a plain number is in radians.",
                         .example = "round_to(tan(45 deg), 0.001)",
                         .result = "1"},
    [MW_FUNCTION_ASIN] = {.name = "asin",
                          .takes = {"1"},
                          .names = {"x"},
                          .gives = "1",
                          .about = "The angle, in radians, whose sine is x (-1 to 1).",
                          .example = "round_to(asin(1), 0.0001)",
                          .result = "1.5708"},
    [MW_FUNCTION_ACOS] = {.name = "acos",
                          .takes = {"1"},
                          .names = {"x"},
                          .gives = "1",
                          .about = "The angle, in radians, whose cosine is x (-1 to 1).",
                          .example = "round_to(acos(0), 0.0001)",
                          .result = "1.5708"},
    [MW_FUNCTION_ATAN] = {.name = "atan",
                          .takes = {"1"},
                          .names = {"x"},
                          .gives = "1",
                          .about = "The angle, in radians, whose tangent is x.",
                          .example = "round_to(4 * atan(1), 0.0001)",
                          .result = "3.1416"},
    [MW_FUNCTION_ABS] = {.name = "abs",
                         .takes = {"any"},
                         .names = {"x"},
                         .gives = "same",
                         .about = "The size of x without its sign.",
                         .example = "abs(3 kg - 5 kg)",
                         .result = "2 kg"},
    [MW_FUNCTION_ROUND_UP] = {.name = "round_up",
                              .takes = {"any", "same"},
                              .names = {"x", "step"},
                              .gives = "same",
                              .about = "x rounded up to a whole number of steps.",
                              .example = "round_up(28.3 kg, 5 kg)",
                              .result = "30 kg"},
    [MW_FUNCTION_ROUND_DOWN] = {.name = "round_down",
                                .takes = {"any", "same"},
                                .names = {"x", "step"},
                                .gives = "same",
                                .about = "x rounded down to a whole number of steps.",
                                .example = "round_down(28.3 kg, 5 kg)",
                                .result = "25 kg"},
    [MW_FUNCTION_ROUND_TO] = {.name = "round_to",
                              .takes = {"any", "same"},
                              .names = {"x", "step"},
                              .gives = "same",
                              .about =
                                  "x rounded to the nearest whole number of steps, a half away "
                                  "from zero.",
                              .example = "round_to(28.3 kg, 5 kg)",
                              .result = "30 kg"},
    [MW_FUNCTION_YEAR] = {.name = "year",
                          .takes = {"date"},
                          .names = {"date"},
                          .gives = "1",
                          .about = "The year of a date.",
                          .example = "year(2027-03-11)",
                          .result = "2027",
                          .call = call_year},
    [MW_FUNCTION_MONTH] = {.name = "month",
                           .takes = {"date"},
                           .names = {"date"},
                           .gives = "1",
                           .about = "The month of a date, 1 to 12.",
                           .example = "month(2027-03-11)",
                           .result = "3",
                           .call = call_month},
    [MW_FUNCTION_DAY] = {.name = "day",
                         .takes = {"date"},
                         .names = {"date"},
                         .gives = "1",
                         .about = "The day of the month of a date, 1 to 31.",
                         .example = "day(2027-03-11)",
                         .result = "11",
                         .call = call_day},
    [MW_FUNCTION_WEEKDAY] = {.name = "weekday",
                             .takes = {"date"},
                             .names = {"date"},
                             .gives = "1",
                             .about = "The day of the week of a date, 1 for Monday to 7 for "
                                      "Sunday.",
                             .example = "weekday(2027-03-11)",
                             .result = "4",
                             .call = call_weekday,
                             .source = "ISO 8601-1:2019"},
    [MW_FUNCTION_WEEK] = {.name = "week",
                          .takes = {"date"},
                          .names = {"date"},
                          .gives = "1",
                          .about = "The ISO week of a date, 1 to 53; it belongs to iso_year(date).",
                          .example = "week(2027-01-01)",
                          .result = "53",
                          .call = call_week,
                          .source = "ISO 8601-1:2019"},
    [MW_FUNCTION_ISO_YEAR] = {.name = "iso_year",
                              .takes = {"date"},
                              .names = {"date"},
                              .gives = "1",
                              .about = "The year that the ISO week of a date is counted in.",
                              .example = "iso_year(2027-01-01)",
                              .result = "2026",
                              .call = call_iso_year,
                              .source = "ISO 8601-1:2019"},
};

_Static_assert(sizeof functions / sizeof functions[0] == MW_FUNCTION_ROWS,
               "a function has no row, or no place in mw_known");

const mw_function *mw_functions(size_t *count)
{
    *count = MW_FUNCTION_ROWS;
    return functions;
}
