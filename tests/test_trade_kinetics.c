/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laws of cure against published constants and closed forms; post-cures against what they promise. */
#include "mouldwright/trade_kinetics.h"

#include "mouldwright/memory.h"
#include "trade_rows.h"

#define ZERO_C 273.15

static mw_cure_solver *solver; /* made and freed in main() */

/* --- laws and programmes of the rows ----------------------------------------------------------- */

static const mw_kinetics tgddm = {.law = MW_CURE_TWO_STAGE,
                                  .factor_1s = {2.101e9 / 60, -2.014e9 / 60, 1.960e5 / 60},
                                  .energy_jmol = {8.07e4, 7.78e4, 5.66e4},
                                  .base = 0.47,
                                  .switch_at = 0.3,
                                  .coldest_k = 390,
                                  .hottest_k = 476};

/* ln A = 25 (1/s), 25 kcal/mol; for the arithmetic only: what was measured is not known to us */
static mw_kinetics anhydride(void)
{
    return (mw_kinetics){.law = MW_CURE_ORDER,
                         .factor_1s = {exp(25)},
                         .energy_jmol = {25 * 4184.0},
                         .n = 1,
                         .coldest_k = 373.15,
                         .hottest_k = 393.15};
}

/* A law with the same rate at every temperature. */
static mw_kinetics flat(mw_cure_law law, double k1, double k2, double m, double n)
{
    return (mw_kinetics){
        .law = law, .factor_1s = {k1, k2}, .m = m, .n = n, .coldest_k = 280, .hottest_k = 480};
}

static mw_trade_status hold(const mw_kinetics *kinetics, double at_k, double time_s, double *out)
{
    const double ramp = 1;
    const mw_cure_programme programme = {at_k, &at_k, &ramp, &time_s, 1};
    return mw_trade_cure_degree(solver, kinetics, &programme, 0, out);
}

/* K, degree: 1/min */
static mw_trade_status tgddm_rate(const double *in, double *out)
{
    double rate = (double)NAN;
    const mw_trade_status status = mw_trade_cure_rate(&tgddm, in[0], in[1], &rate);
    if (status == MW_TRADE_OK) {
        *out = rate * 60;
    }
    return status;
}

/* Time in minutes from degree 0. */
static mw_trade_status minutes_to(const mw_kinetics *kinetics, double at_k, double degree,
                                  double *out)
{
    const double span[] = {0, degree};
    double time_s = (double)NAN;
    const mw_trade_status status = mw_trade_cure_time_to(solver, kinetics, at_k, span, &time_s);
    if (status == MW_TRADE_OK) {
        *out = time_s / 60;
    }
    return status;
}

/* degC, degree: min */
static mw_trade_status tgddm_minutes(const double *in, double *out)
{
    return minutes_to(&tgddm, in[0] + ZERO_C, in[1], out);
}

/* degC, min: degree */
static mw_trade_status tgddm_degree(const double *in, double *out)
{
    return hold(&tgddm, in[0] + ZERO_C, in[1] * 60, out);
}

/* degC: 1/s */
static mw_trade_status anhydride_rate(const double *in, double *out)
{
    const mw_kinetics kinetics = anhydride();
    return mw_trade_cure_rate(&kinetics, in[0] + ZERO_C, 0, out);
}

/* degC, degree: min */
static mw_trade_status anhydride_minutes(const double *in, double *out)
{
    const mw_kinetics kinetics = anhydride();
    return minutes_to(&kinetics, in[0] + ZERO_C, in[1], out);
}

/* n, k, s: degree */
static mw_trade_status order(const double *in, double *out)
{
    const mw_kinetics kinetics = flat(MW_CURE_ORDER, in[1], 0, 0, in[0]);
    return hold(&kinetics, 300, in[2], out);
}

/* m, n, k1, k2, s: degree */
static mw_trade_status kamal(const double *in, double *out)
{
    const mw_kinetics kinetics = flat(MW_CURE_AUTOCATALYTIC, in[2], in[3], in[0], in[1]);
    return hold(&kinetics, 300, in[4], out);
}

#define LEE                                                                                     \
    "Lee, Loos and Springer, J. Composite Materials 16, 1982, 510-520: constants of TGDDM/DDS " \
    "(seen in an open model), worked out by another program"
#define PEYSER                                                                                     \
    "Peyser and Bascom, J. Appl. Polym. Sci. 21, 1977: 25 kcal/mol, ln A = 25 (abstract; authors " \
    "from memory), worked out by another program"
#define CLOSED "closed form"
#define KAMAL  "Kamal and Sourour's law: closed form for m = n = 1"
#define OTHER  "Kamal and Sourour's law, integrated by another program"

/* clang-format off */
static const trade_row rows[] = {
    {"CUR-01", tgddm_rate, {450.15, 0}, 0.42648, 0, 1e-4, DERIVED, LEE},
    {"CUR-02", tgddm_rate, {450.15, 0.1}, 0.2393, 0, 1e-4, DERIVED, LEE},
    {"CUR-03", tgddm_rate, {450.15, 0.5}, 0.026498, 0, 1e-4, DERIVED, LEE},
    {"CUR-04", tgddm_minutes, {120, 0.3}, 61.3987, 0, 2e-3, DERIVED, LEE},
    {"CUR-05", tgddm_degree, {120, 30}, 0.2315, 0.002, 0, DERIVED, LEE},
    {"CUR-06", tgddm_degree, {120, 60}, 0.298, 0.002, 0, DERIVED, LEE},
    {"CUR-07", tgddm_degree, {120, 120}, 0.5051, 0.002, 0, DERIVED, LEE},
    {"CUR-08", tgddm_degree, {120, 240}, 0.7566, 0.002, 0, DERIVED, LEE},
    {"CUR-09", tgddm_minutes, {150, 0.3}, 9.9616, 0, 2e-3, DERIVED, LEE},
    {"CUR-10", tgddm_degree, {150, 5}, 0.2309, 0.002, 0, DERIVED, LEE},
    {"CUR-11", tgddm_degree, {150, 10}, 0.3005, 0.002, 0, DERIVED, LEE},
    {"CUR-12", tgddm_degree, {150, 30}, 0.5329, 0.002, 0, DERIVED, LEE},
    {"CUR-13", tgddm_degree, {150, 60}, 0.7451, 0.002, 0, DERIVED, LEE},
    {"CUR-14", tgddm_minutes, {177, 0.3}, 2.4027, 0, 2e-3, DERIVED, LEE},
    {"CUR-15", tgddm_degree, {177, 1}, 0.2086, 0.002, 0, DERIVED, LEE},
    {"CUR-16", tgddm_degree, {177, 5}, 0.39, 0.002, 0, DERIVED, LEE},
    {"CUR-17", tgddm_degree, {177, 30}, 0.8379, 0.002, 0, DERIVED, LEE},
    {"CUR-18", tgddm_degree, {177, 60}, 0.9669, 0.002, 0, DERIVED, LEE},
    {"CUR-30", anhydride_rate, {120}, 0.0009126, 0, 1e-3, DERIVED, PEYSER},
    {"CUR-31", anhydride_minutes, {120, 0.5}, 12.66, 0, 1e-3, DERIVED, PEYSER},
    {"CUR-32", anhydride_minutes, {120, 0.9}, 42.05, 0, 1e-3, DERIVED, PEYSER},
    {"CUR-33", anhydride_minutes, {100, 0.9}, 233.7, 0, 1e-3, DERIVED, PEYSER},
    {"CUR-34", order, {1, 1e-3, 1000}, 0.6321206, 1e-6, 0, DERIVED, CLOSED},
    {"CUR-35", order, {2, 1e-3, 1000}, 0.5, 1e-6, 0, DERIVED, CLOSED},
    {"CUR-36", order, {1.5, 1e-3, 1000}, 0.5555556, 1e-6, 0, DERIVED, CLOSED},
    {"CUR-37", kamal, {1, 1, 1e-4, 1e-3, 600}, 0.078325, 1e-6, 0, DERIVED, KAMAL},
    {"CUR-38", kamal, {1, 1, 1e-4, 1e-3, 1800}, 0.3620505, 1e-6, 0, DERIVED, KAMAL},
    {"CUR-39", kamal, {1, 1, 1e-4, 1e-3, 3600}, 0.8238797, 1e-6, 0, DERIVED, KAMAL},
    {"CUR-40", kamal, {0.5, 1.5, 1e-4, 1e-3, 600}, 0.186346, 2e-5, 0, DERIVED, OTHER},
    {"CUR-41", kamal, {0.5, 1.5, 1e-4, 1e-3, 1800}, 0.58069, 2e-5, 0, DERIVED, OTHER},
    {"CUR-42", kamal, {0.5, 1.5, 1e-4, 1e-3, 3600}, 0.826518, 2e-5, 0, DERIVED, OTHER},
};

static const trade_refusal refusals[] = {
    {"rate at room temperature", tgddm_rate, {293.15, 0.1}, MW_TRADE_OUT_OF_RANGE},
    {"rate too hot", tgddm_rate, {500, 0.1}, MW_TRADE_OUT_OF_RANGE},
    {"rate of more than all", tgddm_rate, {450.15, 1.1}, MW_TRADE_NO_SENSE},
    {"hold at room temperature", tgddm_degree, {20, 60}, MW_TRADE_OUT_OF_RANGE},
    {"hold too hot", tgddm_degree, {220, 60}, MW_TRADE_OUT_OF_RANGE},
    {"negative hold", tgddm_degree, {150, -1}, MW_TRADE_NO_SENSE},
    {"never quite cured", tgddm_minutes, {150, 1}, MW_TRADE_OUT_OF_RANGE},
    {"time at room temperature", tgddm_minutes, {20, 0.3}, MW_TRADE_OUT_OF_RANGE},
    {"nothing ever starts", kamal, {0.5, 1.5, 0, 1e-3, 600}, MW_TRADE_OUT_OF_RANGE},
    {"negative factor", kamal, {0.5, 1.5, -1e-4, 1e-3, 600}, MW_TRADE_NO_SENSE},
    {"power of 6", kamal, {6, 1.5, 1e-4, 1e-3, 600}, MW_TRADE_OUT_OF_RANGE},
    {"order of -1", order, {-1, 1e-3, 1000}, MW_TRADE_OUT_OF_RANGE},
};
/* clang-format on */

/* --- properties -------------------------------------------------------------------------------- */

/* n-th order over a range of orders, rates and times, against its closed form. */
static void orders_follow_their_closed_form(void **state)
{
    (void)state;
    for (double n = 0.25; n <= 4; n += 0.25) {
        for (double time_s = 3; time_s < 1e6; time_s *= 7.7) {
            const double in[] = {n, 1e-3, time_s};
            const double left = 1 + (n - 1) * 1e-3 * time_s;
            double want = n == 1 ? -expm1(-1e-3 * time_s) : 1 - pow(fmax(left, 0), -1 / (n - 1));
            double got = (double)NAN;
            if (n < 1 && left <= 0) {
                want = 1; /* all gone in a finite time */
            }
            assert_int_equal(order(in, &got), MW_TRADE_OK);
            assert_close(got, want, 1e-7);
        }
    }
}

/* On a ramp from T0 to T1 a first-order law gives 1 - exp(-integral of k): the integral here by
 * Simpson's rule with 20000 parts. */
static void ramps_follow_the_integral_of_k(void **state)
{
    (void)state;
    const mw_kinetics kinetics = anhydride();
    const double target_k[] = {393.15, 373.15};
    const double ramp_k_s[] = {1.7 / 60, 2.3 / 60};
    const double hold_s[] = {777, 0};
    const mw_cure_programme programme = {373.15, target_k, ramp_k_s, hold_s, 2};
    double got = (double)NAN;
    double time_s = (double)NAN;
    double integral = 0;
    for (int i = 0; i <= 20000; i++) {
        const double share = i / 20000.0;
        const double weight = i == 0 || i == 20000 ? 1 : 2 + 2 * (i % 2);
        const double at_k = 373.15 + 20 * share;
        integral += weight / 60000 * exp(25 - 25 * 4184.0 / (8.31446261815324 * at_k)) *
                    (20 / ramp_k_s[0] + 20 / ramp_k_s[1]);
    }
    integral += 777 * exp(25 - 25 * 4184.0 / (8.31446261815324 * 393.15));
    assert_int_equal(mw_trade_cure_degree(solver, &kinetics, &programme, 0, &got), MW_TRADE_OK);
    assert_close(got, -expm1(-integral), 1e-8);
    assert_int_equal(mw_trade_programme_time(&programme, &time_s), MW_TRADE_OK);
    assert_near(time_s, 20 / ramp_k_s[0] + 20 / ramp_k_s[1] + 777, 1e-12);
}

/* A programme that begins colder than the law was measured counts from where it was. */
static void cold_ramps_count_from_the_measured(void **state)
{
    (void)state;
    const double target_k = 450;
    const double ramp_k_s = 2.0 / 60;
    const double hold_s = 600;
    const mw_cure_programme cold = {293.15, &target_k, &ramp_k_s, &hold_s, 1};
    const mw_cure_programme warm = {390, &target_k, &ramp_k_s, &hold_s, 1};
    double from_cold = (double)NAN;
    double from_warm = (double)NAN;
    assert_int_equal(mw_trade_cure_degree(solver, &tgddm, &cold, 0, &from_cold), MW_TRADE_OK);
    assert_int_equal(mw_trade_cure_degree(solver, &tgddm, &warm, 0, &from_warm), MW_TRADE_OK);
    assert_close(from_cold, from_warm, 1e-12);
}

/* An invented law for rooms and ovens, with diffusion for one of them. */
static const mw_kinetics room = {.law = MW_CURE_AUTOCATALYTIC,
                                 .factor_1s = {2.1e4, 9.3e4},
                                 .energy_jmol = {56e3, 53e3},
                                 .m = 0.9,
                                 .n = 1.4,
                                 .coldest_k = 283,
                                 .hottest_k = 400};
static const mw_kinetics slowed = {.law = MW_CURE_LIMITED,
                                   .factor_1s = {1.2e5},
                                   .energy_jmol = {53e3},
                                   .m = 0.8,
                                   .n = 2.7,
                                   .limit_slope = 43,
                                   .limit_at = -0.7,
                                   .limit_per_k = 4.9e-3,
                                   .coldest_k = 283,
                                   .hottest_k = 460};

/* More time never takes back cure, more heat never slows it (these laws have no second maximum), and a
 * time to a degree, held, gives that degree. */
static void cure_is_monotone_and_turns_back(void **state)
{
    (void)state;
    const mw_kinetics *laws[] = {&room, &slowed};
    for (size_t l = 0; l < 2; l++) {
        for (double at_k = 295; at_k <= 375; at_k += 20) {
            double before = 0.01;
            for (double time_s = 60; time_s < 3e5; time_s *= 2.3) {
                const double ramp = 1;
                const mw_cure_programme programme = {at_k, &at_k, &ramp, &time_s, 1};
                double got = (double)NAN;
                double back = (double)NAN;
                assert_int_equal(mw_trade_cure_degree(solver, laws[l], &programme, 0.01, &got),
                                 MW_TRADE_OK);
                assert_true(got >= before && got <= 1);
                before = got;
                if (got > 0.99) {
                    continue; /* the time to it hangs on the last digits */
                }
                const double span[] = {0.01, got};
                assert_int_equal(mw_trade_cure_time_to(solver, laws[l], at_k, span, &back),
                                 MW_TRADE_OK);
                assert_near(back, time_s, 1e-4);
            }
        }
    }
}

/* Diffusion only slows: with the law's limit out of the way it is the law of Kamal without k1. */
static void diffusion_only_slows(void **state)
{
    (void)state;
    mw_kinetics plain = slowed;
    plain.limit_at = 10;
    for (double degree = 0.05; degree < 1; degree += 0.05) {
        double with = (double)NAN;
        double without = (double)NAN;
        assert_int_equal(mw_trade_cure_rate(&slowed, 330, degree, &with), MW_TRADE_OK);
        assert_int_equal(mw_trade_cure_rate(&plain, 330, degree, &without), MW_TRADE_OK);
        assert_true(with <= without && (degree < 0.5 || with < without));
        const double k = 1.2e5 * exp(-53e3 / (8.314 * 330));
        assert_near(without, k * pow(degree, 0.8) * pow(1 - degree, 2.7), 1e-12);
    }
}

/* --- post-cure --------------------------------------------------------------------------------- */

static const mw_glass glass = {258, 363, 0.4};

static mw_post_cure usual_post_cure(void)
{
    return (mw_post_cure){.kinetics = &room,
                          .glass = &glass,
                          .start_k = 303,
                          .degree = 0.86,
                          .final_k = 343,
                          .step_k = 10,
                          .ramp_k_s = 10.0 / 3600,
                          .margin_k = 5,
                          .last_hold_s = 4 * 3600};
}

/* Goes through the plan minute by minute: the temperature must not get ahead of the glass transition
 * by more than the margin. Returns the degree at the end. */
static double walk(const mw_post_cure *wanted, const mw_post_cure_plan *plan)
{
    double degree = wanted->degree;
    double at_k = wanted->start_k;
    for (size_t i = 0; i < plan->count; i++) {
        const double target_k = plan->target_k[i];
        const double ramp_s = (target_k - at_k) / plan->ramp_k_s[i];
        const double all_s = ramp_s + plan->hold_s[i];
        const double from_k = at_k;
        for (double done_s = 0; done_s < all_s;) {
            const double part_s = fmin(60, (done_s < ramp_s ? ramp_s : all_s) - done_s);
            const double next_k = fmin(target_k, from_k + (done_s + part_s) * plan->ramp_k_s[i]);
            const double goes_k = part_s > 0 && next_k > at_k ? next_k : target_k;
            const double hold_s = next_k > at_k ? 0 : part_s;
            const mw_cure_programme part = {at_k, &goes_k, &plan->ramp_k_s[i], &hold_s, 1};
            double now_k = (double)NAN;
            assert_int_equal(mw_trade_cure_degree(solver, wanted->kinetics, &part, degree, &degree),
                             MW_TRADE_OK);
            at_k = goes_k;
            done_s += part_s;
            assert_int_equal(mw_trade_glass_transition(wanted->glass, degree, &now_k), MW_TRADE_OK);
            assert_true(at_k <= now_k + wanted->margin_k + 1e-6);
            if (part_s <= 1e-9) {
                break;
            }
        }
        at_k = target_k;
    }
    return degree;
}

static void post_cures_stay_behind_the_glass_transition(void **state)
{
    (void)state;
    for (double margin_k = -10; margin_k <= 20; margin_k += 7.5) {
        for (double step_k = 4; step_k <= 40; step_k *= 1.9) {
            mw_post_cure wanted = usual_post_cure();
            mw_post_cure_plan plan;
            wanted.margin_k = margin_k;
            wanted.step_k = step_k;
            wanted.least_hold_s = margin_k > 0 ? 3600 : 0;
            assert_int_equal(mw_trade_post_cure(solver, &wanted, &plan), MW_TRADE_OK);
            assert_near(plan.target_k[plan.count - 1], 343, 1e-12);
            assert_near(plan.hold_s[plan.count - 1], 4 * 3600, 1e-12);
            for (size_t i = 1; i + 1 < plan.count; i++) {
                assert_true(plan.hold_s[i] >= wanted.least_hold_s);
            }
            assert_close(walk(&wanted, &plan), plan.degree, 1e-7);
            const mw_cure_programme programme = {wanted.start_k, plan.target_k, plan.ramp_k_s,
                                                 plan.hold_s, plan.count};
            double time_s = (double)NAN;
            assert_int_equal(mw_trade_programme_time(&programme, &time_s), MW_TRADE_OK);
            assert_near(plan.duration_s, time_s, 1e-12);
            assert_true(plan.glass_k >= 343 - margin_k);
        }
    }
}

/* As many stages as there is room for: rounding must not ask for one more. */
static void post_cures_have_room_for_their_stages(void **state)
{
    (void)state;
    const mw_glass warm = {300, 560, 0.5};
    uint32_t most = 0;
    for (int i = 0; i < 4000; i++) {
        mw_post_cure wanted = usual_post_cure();
        mw_post_cure_plan plan;
        wanted.glass = &warm;
        wanted.degree = 1;
        wanted.start_k = 295 + 0.0037 * i;
        wanted.step_k = 1 + 0.0001 * (i % 97);
        const double top_k = wanted.start_k + wanted.step_k * (MW_POST_CURE_STAGES_MOST - 1);
        wanted.final_k = i % 3 == 0 ? top_k : nextafter(top_k, i % 3 == 1 ? 1e3 : 0);
        if (mw_trade_post_cure(solver, &wanted, &plan) == MW_TRADE_OK) {
            assert_true(plan.count <= MW_POST_CURE_STAGES_MOST);
            assert_true(plan.target_k[plan.count - 1] == wanted.final_k);
            most = plan.count > most ? (uint32_t)plan.count : most;
        }
    }
    assert_int_equal(most, MW_POST_CURE_STAGES_MOST);
}

static void post_cures_are_refused(void **state)
{
    (void)state;
    mw_post_cure_plan plan = {.count = 77};
    mw_post_cure wanted = usual_post_cure();
    wanted.start_k = 338; /* the glass transition stands at 332.6 K */
    assert_int_equal(mw_trade_post_cure(solver, &wanted, &plan), MW_TRADE_OUT_OF_RANGE);
    wanted = usual_post_cure();
    wanted.final_k = 390; /* full cure would not be enough */
    assert_int_equal(mw_trade_post_cure(solver, &wanted, &plan), MW_TRADE_OUT_OF_RANGE);
    wanted.final_k = 300;
    assert_int_equal(mw_trade_post_cure(solver, &wanted, &plan), MW_TRADE_NO_SENSE);
    wanted = usual_post_cure();
    wanted.ramp_k_s = 0;
    assert_int_equal(mw_trade_post_cure(solver, &wanted, &plan), MW_TRADE_NO_SENSE);
    wanted = usual_post_cure();
    wanted.step_k = 0.5;
    assert_int_equal(mw_trade_post_cure(solver, &wanted, &plan), MW_TRADE_OUT_OF_RANGE);
    wanted = usual_post_cure();
    wanted.least_hold_s = -1;
    assert_int_equal(mw_trade_post_cure(solver, &wanted, &plan), MW_TRADE_NO_SENSE);
    wanted.least_hold_s = (double)NAN;
    assert_int_equal(mw_trade_post_cure(solver, &wanted, &plan), MW_TRADE_NO_SENSE);
    assert_int_equal(plan.count, 77);
}

/* --- programmes and solvers that are refused --------------------------------------------------- */

static void programmes_are_refused(void **state)
{
    (void)state;
    double target_k = 330;
    double ramp_k_s = 0;
    double hold_s = 60;
    double out = 2.385;
    const mw_cure_programme programme = {300, &target_k, &ramp_k_s, &hold_s, 1};
    assert_int_equal(mw_trade_programme_time(&programme, &out), MW_TRADE_NO_SENSE);
    ramp_k_s = 1;
    hold_s = 4e8;
    assert_int_equal(mw_trade_cure_degree(solver, &room, &programme, 0, &out),
                     MW_TRADE_OUT_OF_RANGE);
    hold_s = 60;
    assert_int_equal(mw_trade_cure_degree(solver, &room, &programme, -0.1, &out),
                     MW_TRADE_NO_SENSE);
    target_k = 600;
    assert_int_equal(mw_trade_cure_degree(solver, &room, &programme, 0, &out),
                     MW_TRADE_OUT_OF_RANGE);
    mw_kinetics wrong = tgddm;
    wrong.base = 0.2;
    assert_int_equal(mw_trade_cure_rate(&wrong, 450, 0, &out), MW_TRADE_NO_SENSE);
    wrong = slowed;
    wrong.limit_slope = 201;
    assert_int_equal(mw_trade_cure_rate(&wrong, 330, 0.1, &out), MW_TRADE_OUT_OF_RANGE);
    wrong = room;
    wrong.energy_jmol[1] = 301e3;
    assert_int_equal(mw_trade_cure_rate(&wrong, 330, 0.1, &out), MW_TRADE_OUT_OF_RANGE);
    wrong.law = MW_CURE_LAW_COUNT;
    assert_int_equal(mw_trade_cure_rate(&wrong, 330, 0.1, &out), MW_TRADE_NO_SENSE);
    assert_true(out == 2.385);
}

static support_outcome make_solver(void *context)
{
    (void)context;
    mw_cure_solver *made = mw_cure_solver_new();
    mw_cure_solver_free(made);
    return made != NULL ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void solvers_need_memory(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(make_solver, NULL) > 0);
}

int main(void)
{
    test_list tests = {0};
    solver = mw_cure_solver_new();
    if (solver == NULL) {
        return 1;
    }
    test_add_rows(&tests, "published", rows, check_trade_row);
    test_add_rows(&tests, "refused", refusals, check_trade_refusal);
    test_add(&tests, orders_follow_their_closed_form);
    test_add(&tests, ramps_follow_the_integral_of_k);
    test_add(&tests, cold_ramps_count_from_the_measured);
    test_add(&tests, cure_is_monotone_and_turns_back);
    test_add(&tests, diffusion_only_slows);
    test_add(&tests, post_cures_stay_behind_the_glass_transition);
    test_add(&tests, post_cures_have_room_for_their_stages);
    test_add(&tests, post_cures_are_refused);
    test_add(&tests, programmes_are_refused);
    test_add(&tests, solvers_need_memory);
    const int failed = test_run(&tests, "trade_kinetics");
    mw_cure_solver_free(solver);
    return failed;
}
