/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Milling against worked examples and geometry. */
#include "mouldwright/trade_machining.h"

#include <math.h>

#include "trade_rows.h"

#define BALL    "exact geometry of a ball cutter on a plane"
#define EXAMPLE "open worked example of ball cutter and step-over (its page is not named)"
#define CRC     "Fundamentals of Machining (CRC Press), chapter 53, milling, solution p. 189"
#define GHOSH   "Ghosh and Mallik, Manufacturing Science, problem 4.16, p. 238"
#define GROOVER "Groover, Fundamentals of Modern Manufacturing, problem on slab milling"

/* The feed of a cutter of that diameter at that cutting speed, in units of the given ones. The
 * geometry does not care for units as long as all are of one kind; each kind runs in its own. */
static double feed_of(double diameter, double cutting, double teeth, double chip)
{
    double spindle = (double)NAN;
    double feed = (double)NAN;
    assert_int_equal(mw_trade_spindle_for_speed(diameter, cutting, &spindle), MW_TRADE_OK);
    assert_int_equal(mw_trade_feed(spindle, teeth, chip, &feed), MW_TRADE_OK);
    return feed;
}

/* ball diameter, step-over: of the same unit */
static mw_trade_status cusp(const double *in, double *out)
{
    return mw_trade_cusp_height(in[0], in[1], out);
}

/* ball diameter, ridge */
static mw_trade_status step_over(const double *in, double *out)
{
    return mw_trade_step_over(in[0], in[1], out);
}

/* feed mm/min, teeth, mm a tooth: turns a minute */
static mw_trade_status spindle_rpm(const double *in, double *out)
{
    return mw_trade_spindle_for_feed(in[0], in[1], in[2], out);
}

/* diameter mm, turns a minute: m/min */
static mw_trade_status cutting_m_min(const double *in, double *out)
{
    return mw_trade_cutting_speed(in[0] / 1000, in[1], out);
}

/* travel mm, approach mm, feed mm/min: min */
static mw_trade_status pass_min(const double *in, double *out)
{
    return mw_trade_pass_time(in[0], in[1], in[2], out);
}

/* depth, width, feed a minute */
static mw_trade_status removal(const double *in, double *out)
{
    return mw_trade_removal_rate(in[0], in[1], in[2], out);
}

/* width mm, depth mm, feed mm/min: mm3/s */
static mw_trade_status removal_mm3_s(const double *in, double *out)
{
    return mw_trade_removal_rate(in[0], in[1], in[2] / 60, out);
}

/* mm3/s at 1.4 * 0.043^-0.4 W s/mm3: W */
static mw_trade_status power_w(const double *in, double *out)
{
    return mw_trade_cutting_power(1.4 * pow(0.043, -0.4), in[0], out);
}

/* length in, D in, depth in, cutting ft/min, teeth, in a tooth: min */
static mw_trade_status slab_pass_min(const double *in, double *out)
{
    double approach = (double)NAN;
    assert_int_equal(mw_trade_approach(in[1], in[2], &approach), MW_TRADE_OK);
    const double feed = feed_of(in[1], in[3] * 12, in[4], in[5]);
    return mw_trade_pass_time(in[0], approach, feed, out);
}

/* width in, D in, depth in, cutting ft/min, teeth, in a tooth: in3/min */
static mw_trade_status slab_removal(const double *in, double *out)
{
    return mw_trade_removal_rate(in[2], in[0], feed_of(in[1], in[3] * 12, in[4], in[5]), out);
}

/* turns a minute, teeth, mm a tooth: mm/min */
static mw_trade_status feed_mm_min(const double *in, double *out)
{
    return mw_trade_feed(in[0], in[1], in[2], out);
}

/* width mm, D mm, depth mm, cutting mm/min, teeth, mm a tooth: mm3/min */
static mw_trade_status face_removal(const double *in, double *out)
{
    return mw_trade_removal_rate(in[2], in[0], feed_of(in[1], in[3], in[4], in[5]), out);
}

/* area m2, step-over mm, feed mm/min: min */
static mw_trade_status finishing_min(const double *in, double *out)
{
    const mw_finishing plain = {
        .area_m2 = in[0], .step_over_m = in[1] / 1000, .feed_m_s = in[2] / 1000, .row_m = 1};
    return mw_trade_finishing_time(&plain, out);
}

static const trade_row rows[] = {
    {"MCH-01", cusp, {6, 0.5}, 0.0104, 0.00005, 0, CONFIRMED, EXAMPLE},
    {"MCH-02", step_over, {6, 0.005}, 0.346, 0.0005, 0, CONFIRMED, EXAMPLE},
    {"MCH-03", cusp, {0.5, 0.05}, 0.001253, 1e-6, 0, CONFIRMED, EXAMPLE},
    {"MCH-04", cusp, {0.25, 0.020}, 0.000402, 2e-6, 0, CONFIRMED, EXAMPLE},
    {"MCH-05", cusp, {20, 1}, 0.0125078, 1e-6, 0, DERIVED, BALL},
    {"MCH-06", step_over, {16, 0.01}, 0.79975, 1e-4, 0, DERIVED, BALL},
    {"MCH-07", step_over, {12, 0.05}, 1.54596, 1e-4, 0, DERIVED, BALL},
    {"MCH-08", spindle_rpm, {120, 8, 0.1}, 150, 0.01, 0, CONFIRMED, CRC},
    {"MCH-09", cutting_m_min, {30, 150}, 14.13, 0.01, 0, CONFIRMED, CRC},
    {"MCH-10", pass_min, {321, 0, 120}, 2.68, 0.006, 0, CONFIRMED, CRC},
    {"MCH-11",
     removal,
     {1, 1, 10},
     10,
     1e-9,
     0,
     CONFIRMED,
     "Stanton and Hemphill, text on numerical control, chapter 3"},
    {"MCH-14", removal_mm3_s, {20, 5, 100}, 166.667, 0.001, 0, CONFIRMED, GHOSH},
    {"MCH-15", power_w, {166.667}, 817, 0, 0.01, CONFIRMED, GHOSH},
    {"MCH-16", slab_pass_min, {12, 3.5, 0.3, 125, 10, 0.008}, 1.189, 0.002, 0, DERIVED, GROOVER},
    {"MCH-17", slab_removal, {2.5, 3.5, 0.3, 125, 10, 0.008}, 8.185, 0.005, 0, DERIVED, GROOVER},
    {"MCH-19",
     feed_mm_min,
     {300, 8, 0.125},
     300,
     1e-9,
     0,
     DERIVED,
     "Kalpakjian and Schmid, Manufacturing Engineering and Technology, problem of fig. 24.6"},
    {"MCH-20",
     face_removal,
     {75, 75, 5, 40e3, 10, 0.1},
     63662,
     1,
     0,
     DERIVED,
     "open textbook problem of face milling (inputs confirmed, answer worked out)"},
    {"MCH-21", finishing_min, {2, 0.8, 4000}, 625, 1e-6, 0, DERIVED, "area / (step-over * feed)"},
    {"MCH-22", feed_mm_min, {18000, 2, 0.12}, 4320, 1e-9, 0, DERIVED, "feed = n z fz"},
};

static const trade_refusal refusals[] = {
    {"no ball", cusp, {0, 1}, MW_TRADE_NO_SENSE},
    {"rows apart", cusp, {6, 6.01}, MW_TRADE_OUT_OF_RANGE},
    {"ridge over the ball", step_over, {6, 3.01}, MW_TRADE_OUT_OF_RANGE},
    {"negative ridge", step_over, {6, -0.1}, MW_TRADE_NO_SENSE},
    {"half a tooth", feed_mm_min, {300, 2.5, 0.1}, MW_TRADE_NO_SENSE},
    {"101 teeth", feed_mm_min, {300, 101, 0.1}, MW_TRADE_OUT_OF_RANGE},
    {"no feed", spindle_rpm, {0, 2, 0.1}, MW_TRADE_NO_SENSE},
    {"no diameter", cutting_m_min, {0, 150}, MW_TRADE_NO_SENSE},
    {"nothing cut", removal, {0, 1, 1}, MW_TRADE_NO_SENSE},
    {"not a number", pass_min, {(double)NAN, 0, 1}, MW_TRADE_NO_SENSE},
    {"negative area", finishing_min, {-1, 1, 1}, MW_TRADE_NO_SENSE},
    {"power of nothing", power_w, {0}, MW_TRADE_NO_SENSE},
};

/* Ridge and step-over undo each other; the ridge lies above s^2 / 8 R, near it for small steps. */
static void ridge_and_step_over_agree(void **state)
{
    (void)state;
    for (double step = 0.01; step < 12; step *= 1.37) {
        double ridge = (double)NAN;
        double back = (double)NAN;
        assert_int_equal(mw_trade_cusp_height(12, step, &ridge), MW_TRADE_OK);
        assert_int_equal(mw_trade_step_over(12, ridge, &back), MW_TRADE_OK);
        assert_near(back, step, 1e-12);
        assert_true(ridge >= step * step / 48);
        if (step < 0.4 * 6) {
            assert_near(ridge, step * step / 48, 0.011);
        }
    }
}

static void turns_and_plunges_come_on_top(void **state)
{
    (void)state;
    double out = (double)NAN;
    mw_finishing finishing = {.area_m2 = 2,
                              .step_over_m = 0.8e-3,
                              .feed_m_s = 4.0 / 60,
                              .row_m = 2.5,
                              .turn_s = 1.5,
                              .plunges = 4,
                              .plunge_s = 20};
    /* by hand: 625 min; 1000 rows of 2.5 m; 1500 s and 80 s more */
    assert_int_equal(mw_trade_finishing_time(&finishing, &out), MW_TRADE_OK);
    assert_near(out, 625 * 60 + 1500 + 80, 1e-12);
    finishing.area_m2 = 0.001; /* half a row is one row: 18.75 s, 1.5 s, 80 s */
    assert_int_equal(mw_trade_finishing_time(&finishing, &out), MW_TRADE_OK);
    assert_near(out, 18.75 + 1.5 + 80, 1e-12);
    finishing.turn_s = -1;
    assert_int_equal(mw_trade_finishing_time(&finishing, &out), MW_TRADE_NO_SENSE);
}

static void roughing_and_handling(void **state)
{
    (void)state;
    double out = (double)NAN;
    /* by hand: 0.36 m3 at 2 L/min, 80 % in the cut: 225 min */
    assert_int_equal(mw_trade_roughing_time(0.36, 2e-3 / 60, 0.8, &out), MW_TRADE_OK);
    assert_near(out, 225 * 60, 1e-12);
    assert_int_equal(mw_trade_roughing_time(0.36, 1, 1.01, &out), MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_roughing_time(0.36, 1, 0, &out), MW_TRADE_NO_SENSE);
    const mw_mill_handling handling = {2, 2400, 5, 90, 12, 20};
    assert_int_equal(mw_trade_mill_handling(&handling, &out), MW_TRADE_OK);
    assert_near(out, 4800 + 450 + 240, 1e-12);
    const mw_mill_handling wrong = {2, -2400, 5, 90, 12, 20};
    assert_int_equal(mw_trade_mill_handling(&wrong, &out), MW_TRADE_NO_SENSE);
    assert_int_equal(mw_trade_approach(10, 5.1, &out), MW_TRADE_OUT_OF_RANGE);
    assert_int_equal(mw_trade_spindle_for_speed(10, 0, &out), MW_TRADE_NO_SENSE);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "published", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    test_add(&tests, ridge_and_step_over_agree);
    test_add(&tests, turns_and_plunges_come_on_top);
    test_add(&tests, roughing_and_handling);
    return test_run(&tests, "trade_machining");
}
