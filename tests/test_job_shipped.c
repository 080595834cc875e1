/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shipped recipes on the yardstick, samples/plain5.job: figures worked out by hand, what one layer more
 * moves, and the bands of common practice for one plain mould of 5 m2. */
#include "job_bench.h"

#include <math.h>

#define H 3600.0

/* By hand: the edge of a square of 5 m2, a flange of 120 mm, 6 % overlap, 600 g/m2 of carbon with 48 % of
 * resin by mass, fibre of 1780 and resin of 1150 kg/m3. */
#define EDGE   (4.0 * 2.23606797749979)
#define LAID   (5.0 + EDGE * 0.12)
#define CLOTH  (LAID * 1.06)
#define DEMAND (0.6 * 0.48 / 0.52)
#define LAYER  (0.6 / 1780.0 + DEMAND / 1150.0)
/* scuffing and set-up of one session, laying of one layer, in person-hours */
#define SESSION (1.25 + 0.12 * LAID)
#define LAYING  (0.35 * LAID)
/* putty on the plug: 30 mm strip round the trim line, skin of two layers of 200 g/m2 glass, half resin */
#define PLUG (5.0 + EDGE * 0.03)
#define SKIN (2.0 * (0.2 / 2550.0 + 0.2 / 1150.0))

typedef struct shipped_row {
    const char *name;
    const char *say; /* statement first, or NULL */
    const char *formula;
    double want; /* SI */
    const char *by_hand;
} shipped_row;

static const shipped_row rows[] = {
    {"laid area", NULL, "plain.laid_area", LAID, "area and flange"},
    {"resin of a layer", NULL, "plain.heavy.demand", DEMAND, "600 * 48 / 52 g/m2"},
    {"a layer", NULL, "plain.heavy.layer", LAYER, "volumes of fibre and resin"},
    {"thickness of the heavy layers", NULL, "plain.heavy.thickness", 4 * LAYER, "four"},
    {"layers in one go", NULL, "plain.heavy.in_one_go", 4, "4 mm / 0.8187 mm = 4.89"},
    {"sessions", NULL, "plain.heavy.sessions", 1, "4 / 4, and 8.5 h / 2 / 80 % below 6.5 h"},
    {"mass of the heavy layers", NULL, "plain.heavy.mass", 4 * CLOTH *(0.6 + DEMAND), "four"},
    {"resin used up", NULL, "plain.heavy.resin", 4 * CLOTH *DEMAND / 0.92, "8 % left in pots"},
    {"pots", NULL, "plain.heavy.pots", 20, "15.50 kg / 0.8 kg = 19.4"},
    {"each pot", NULL, "plain.heavy.pot_filled", 0.776, "15 502 g / 20 = 775.1 g, rounded up"},
    {"hardener of each", NULL, "plain.heavy.pot_hardener", 0.179, "776 g * 0.3 / 1.3 = 179.1 g"},
    {"resin of each", NULL, "plain.heavy.pot_resin", 0.597, "776 - 179 g"},
    {"pot life", NULL, "plain.heavy.pot_gels_in", 90 * 60 * 0.8122523963562355 * 0.8959361717415585,
     "90 min / 2^0.3 for 23 degC, * (500 / 776)^(1/4)"},
    {"hours", NULL, "plain.heavy.hours", (4 * LAYING + SESSION) * H, "four layers, one session"},
    {"foam undersize", NULL, "plain.milling.undersize", SKIN + 1.5e-3, "skin and putty left"},
    {"putty sprayed", NULL, "plain.surfacing.sprayed", 2.5e-3, "1.5 mm left, 1 mm cut"},
    {"putty used up", NULL, "plain.surfacing.putty", PLUG * 2.5e-3 * 1400.0 / 0.78,
     "78 % lands on the plug; 1.4 g/cm3"},
    {"boards", NULL, "plain.block.boards", 12, "3 layers * 6 * 65 % = 11.7"},
    {"coat", NULL, "plain.coats.coat_net", 2 * LAID * 0.45e-3 * 1400.0, "two coats of 0.45 mm"},

    {"one layer more: thickness", "plain.heavy.plies = 5", "plain.heavy.thickness", 5 * LAYER,
     "five"},
    {"one layer more: mass", "plain.heavy.plies = 5", "plain.heavy.mass", 5 * CLOTH *(0.6 + DEMAND),
     "five"},
    {"one layer more: resin", "plain.heavy.plies = 5", "plain.heavy.resin",
     5 * CLOTH *DEMAND / 0.92, "five"},
    {"one layer more: sessions", "plain.heavy.plies = 5", "plain.heavy.sessions", 2,
     "5 / 4, rounded up"},
    {"one layer more: pots", "plain.heavy.plies = 5", "plain.heavy.pots", 26,
     "twice 9.69 kg / 0.8 kg = 12.1"},
    {"one layer more: hours", "plain.heavy.plies = 5", "plain.heavy.hours",
     (5 * LAYING + 2 * SESSION) * H, "five layers, two sessions"},
    {"eight metres square: by the clock", "plain.area = 8 m2", "plain.heavy.sessions", 2,
     "4 * 9.36 m2 * 0.35 h / 2 / 80 % = 8.2 h, above 6.5 h"},
    {"a shorter shift", "shop.working_day = 6 h", "plain.heavy.sessions", 2,
     "5.3 h of laying, 4.5 h of time"},
    {"under a bag: resin", "plain.process = \"bagged\"", "plain.heavy.demand", 0.6 * 0.4 / 0.6,
     "40 % by mass"},
    {"infused: resin", "plain.process = \"infused\"", "plain.heavy.demand", 0.6 * 0.35 / 0.65,
     "35 % by mass"},
};

static void start(job_bench *bench)
{
    bench_open_shipped(bench, "samples/plain5.job");
}

static void check_figure(void **state)
{
    const shipped_row *row = *state;
    job_bench bench;
    start(&bench);
    bench_say_all(&bench, row->say);
    assert_near(bench_value(&bench, row->formula), row->want, 1e-6);
    bench_end(&bench);
}

/* Common practice, no source. */
typedef struct band_row {
    const char *name;
    const char *formula;
    double low, high; /* SI */
} band_row;

static const band_row bands[] = {
    {"hands-on hours a square metre", "hours_per_m2", 12 * H, 25 * H},
    {"share of the plug", "plug_share", 0.5, 0.7},
    {"mass of the laminate", "laminate_per_m2", 8, 14},
    {"thickness", "plain.thickness", 4e-3, 7e-3},
    {"material", "material_per_m2", 150, 500},
    {"calendar", "weeks", 3 * 7 * 24 * H, 6 * 7 * 24 * H},
};

static void check_band(void **state)
{
    const band_row *row = *state;
    job_bench bench;
    start(&bench);
    const double value = bench_value(&bench, row->formula);
    assert_true(value >= row->low && value <= row->high);
    bench_end(&bench);
}

/* A layer more is stiffer and sags less, although it is heavier. */
static void layers_stiffen(void **state)
{
    (void)state;
    job_bench bench;
    start(&bench);
    double stiffness_nm = bench_value(&bench, "plain.bending_stiffness");
    double sag_m = bench_value(&bench, "plain.sag");
    double weight_pa = bench_value(&bench, "plain.skin_weight");
    assert_true(stiffness_nm > 0.0 && sag_m > 0.0);
    for (int plies = 5; plies <= 10; plies++) {
        char statement[64];
        snprintf(statement, sizeof statement, "plain.heavy.plies = %d", plies);
        bench_say_all(&bench, statement);
        assert_true(bench_value(&bench, "plain.bending_stiffness") > stiffness_nm);
        assert_true(bench_value(&bench, "plain.sag") < sag_m);
        assert_true(bench_value(&bench, "plain.skin_weight") > weight_pa);
        stiffness_nm = bench_value(&bench, "plain.bending_stiffness");
        sag_m = bench_value(&bench, "plain.sag");
        weight_pa = bench_value(&bench, "plain.skin_weight");
    }
    bench_end(&bench);
}

/* A layer more never makes it ready sooner, nor cheaper, nor lighter; sessions follow. */
static void layers_move_everything(void **state)
{
    static const char *const formulas[] = {"plain.thickness",  "plain.mass",          "plain.resin",
                                           "plain.hours",      "plain.cost",          "plain.ready",
                                           "plain.heavy.pots", "plain.heavy.sessions"};
    enum { COUNT = sizeof formulas / sizeof *formulas };
    double before[COUNT];
    (void)state;
    job_bench bench;
    start(&bench);
    for (size_t i = 0; i < COUNT; i++) {
        before[i] = bench_value(&bench, formulas[i]);
    }
    for (int plies = 5; plies <= 13; plies++) {
        char statement[64];
        snprintf(statement, sizeof statement, "plain.heavy.plies = %d", plies);
        bench_say_all(&bench, statement);
        for (size_t i = 0; i < COUNT; i++) {
            const double after = bench_value(&bench, formulas[i]);
            assert_true(after >= before[i] && (i >= 5 || after > before[i]));
            before[i] = after;
        }
    }
    assert_true(before[COUNT - 1] == 4); /* 13 / 4, rounded up */
    bench_end(&bench);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "figure", rows, check_figure);
    test_add_rows(&tests, "band", bands, check_band);
    test_add(&tests, layers_move_everything);
    test_add(&tests, layers_stiffen);
    return test_run(&tests, "job_shipped");
}
