/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job of two moulds recomputed by hand: quantities, costs, totals, dates, overrides. Recipes, prices and rates are frozen in
 * tests/data/job; each row says the arithmetic that gives the value expected. */
#include "job_bench.h"

#define H   3600.0
#define D   86400.0
#define Y27 1798761600.0 /* 2027-01-01T00:00, from the Unix day count 20819 */

typedef struct figure_row {
    const char *name;
    const char *say; /* statements first, or NULL */
    const char *formula;
    double want;         /* SI */
    const char *by_hand; /* where `want` is from */
} figure_row;

static const figure_row rows[] = {
    {"laid area", NULL, "a.laid", 4.8, "4 m2 + 8 m * 0.1 m"},
    {"usual edge", NULL, "b.edge", 4.0, "4 * sqrt(1 m2)"},
    {"rim of the recipe that builds on another", NULL, "b.rim", 0.2, "usual * 2 = 200 mm"},
    {"plies of it", NULL, "b.heavy.plies", 6, "usual + 2"},
    {"labour", NULL, "a.heavy.hours", 4.8 * H, "0.25 h/m2 * 4.8 m2 * 4"},
    {"hours of a mould", NULL, "a.hours", 7.8 * H, "1 + 4.8 + 2 h"},
    {"machine hours", NULL, "a.block.machine_hours", 2 * H, "0.5 h/m2 * 4 m2"},
    {"cloth net", NULL, "a.heavy.cloth_net", 19.2, "4 * 4.8 m2"},
    {"cloth with loss", NULL, "a.heavy.cloth", 19.2 / 0.9, "19.2 / (1 - 10 %)"},
    {"cloth lost", NULL, "a.heavy.cloth_lost", 19.2 / 0.9 - 19.2, "used less net"},
    {"resin net", NULL, "a.heavy.resin_net", 7.68, "4 * 4.8 * 0.4 * 0.5 / 0.5"},
    {"resin of the mould", NULL, "a.resin", 7.68 / 0.95, "the only use of a laminating resin"},
    {"thickness", NULL, "a.thickness", 4 * (0.0002 + 0.4 / 1200.0),
     "4 * (400 g/m2 / 2 g/cm3 + 400 g/m2 / 1.2 g/cm3)"},
    {"mass", NULL, "a.mass", 15.36, "4 * 4.8 * 0.4 / 0.5"},
    {"price of a material", NULL, "materials.test_cloth.price", 10, "500 EUR / 50 m2"},
    {"cost of cloth", NULL, "a.heavy.cloth_cost", 213.33, "21.3333 m2 * 10 EUR/m2, to the cent"},
    {"cost of resin", NULL, "a.heavy.resin_cost", 97.01, "8.084211 kg * 12 EUR/kg, to the cent"},
    {"labour cost", NULL, "a.heavy.labour_cost", 240, "4.8 h / 80 % * 40 EUR/h"},
    {"machine cost", NULL, "a.block.machine_cost", 60, "2 h * 30 EUR/h"},
    {"overhead", NULL, "a.heavy.overhead_cost", 24, "10 % of 240"},
    {"cost of a step", NULL, "a.block.cost", 307.5, "165 + 75 + 60 + 7.5"},
    {"cost of a mould", NULL, "a.cost", 991.84, "307.50 + 574.34 + 110"},
    {"margin is a share of the price", NULL, "a.margin_cost", 247.96, "991.84 * 0.2 / 0.8"},
    {"price", NULL, "a.price", 1239.80, "991.84 + 247.96"},
    {"cost of the job", NULL, "job.cost", 1618.66, "991.84 + 626.82"},
    {"tax", NULL, "job.tax", 505.83, "25 % of 2023.33 = 505.8325, to the cent"},
    {"price with tax", NULL, "job.total", 2529.16, "2023.33 + 505.83"},
    {"need of a material", NULL, "materials.test_board.needed", 0.625,
     "(400 + 100) L / (1 - 20 %)"},
    {"packs", NULL, "materials.test_board.packs", 7, "625 L in packs of 100 L"},
    {"left over", NULL, "materials.test_board.left_over", 0.075, "700 - 625 L"},
    {"worth of what is left", NULL, "materials.test_board.left_over_cost", 24.75, "75 L * 0.33"},
    {"a line over the moulds", NULL, "spare", 2000 - 1618.66, "budget less cost"},
    {"a range gives its likely value", NULL, "maybe * 2", 16 * H, "2 * 8 h"},
    {"other money at the shop's rate", NULL, "10 USD + 1 EUR", 6, "10 * 0.5 + 1"},
    {"a unit of the shop", NULL, "2 drum + 1 kg", 401, "2 * 200 kg + 1 kg"},
    {"list over moulds", NULL, "sum(moulds.area)", 5, "4 + 1 m2"},
    {"list over moulds that have the step", NULL, "count(moulds.polish.hours)", 1, "only b"},
    {"list over steps", NULL, "sum(a.steps.hours)", 7.8 * H, "1 + 4.8 + 2 h"},
    {"all steps of all moulds", NULL, "count(moulds.steps.hours)", 7, "3 + 4 steps"},
    {"labour over people is clock time", NULL, "a.heavy.hours / a.heavy.crew", 2.4 * H, "4.8 / 2"},
    {"figure of a material in its role", NULL, "a.heavy.cloth.areal_weight", 0.4, "400 g/m2"},

    /* dates: shift 08:00-12:00, 12:30-16:30; 80 % productive; mill before laying; 10 h until the next step;
     * b has a step more, so that its block goes first */
    {"block starts with the job", NULL, "b.block.start", Y27 + 3 * D + 8 * H,
     "Mon 2027-01-04 08:00"},
    {"block ends with the machine", NULL, "a.block.end - a.block.start", 2 * H, "2 h of the mill"},
    {"lay-up over noon", NULL, "a.heavy.end", Y27 + 3 * D + 14.75 * H,
     "11:15 + 4.8 / 2 / 0.8 = 3 h, half an hour of noon between"},
    {"wait at the rate of 20 degC", NULL, "a.heavy.waiting", 10 * H, "rate 1 by day and night"},
    {"demould the next morning", NULL, "a.demould.start", Y27 + 4 * D + 8 * H, "cured at 00:45"},
    {"ready", NULL, "a.ready", Y27 + 4 * D + 9.25 * H, "08:00 + 2 / 2 / 0.8 h"},
    {"the mill is shared", NULL, "a.block.start", Y27 + 3 * D + 9.25 * H,
     "after b's block: 1 h / 80 %"},
    {"queueing for the mill", NULL, "a.block.queueing", 1.25 * H, "from 08:00 to 09:15"},

    /* overrides, narrowest first */
    {"step of a mould", "a.heavy.plies = 6", "a.heavy.plies", 6, "set"},
    {"usual", "a.heavy.plies = usual * 2", "a.heavy.plies", 8, "2 * 4"},
    {"in every mould", "moulds.heavy.plies = 5", "sum(moulds.heavy.plies)", 10, "5 + 5"},
    {"narrow goes before wide", "moulds.heavy.plies = 5\na.heavy.plies = 3",
     "a.heavy.plies * 100 + b.heavy.plies", 305, "3 and 5"},
    {"usual of a narrow one is the wide one", "moulds.heavy.plies = 5\na.heavy.plies = usual + 1",
     "a.heavy.plies", 6, "5 + 1"},
    {"the order of saying does not matter", "a.heavy.plies = usual + 1\nmoulds.heavy.plies = 5",
     "a.heavy.plies", 6, "5 + 1"},
    {"a mould's quantity in all its steps", "a.crew = 1", "a.heavy.crew + a.demould.crew", 2,
     "1 + 1"},
    {"mould before every mould's step", "moulds.heavy.crew = 2\na.crew = 1", "a.heavy.crew", 1,
     "precedence: mould, then step in every mould"},
    {"a line of the job gives an input", "rim = 50 mm", "a.laid", 4.4, "4 + 8 * 0.05"},
    {"the mould's own value goes before it", "rim = 50 mm\na.rim = 75 mm", "a.laid", 4.6,
     "4 + 8 * 0.075"},
    {"a line captures nothing that is no input", "laid = 99 m2", "a.laid", 4.8, "as before"},
    {"restore", "a.heavy.plies = 6\nrestore a.heavy.plies", "a.heavy.plies", 4, "the recipe's"},
    {"restore shows the wider one",
     "moulds.heavy.plies = 5\na.heavy.plies = 6\nrestore a.heavy.plies", "a.heavy.plies", 5,
     "every mould's"},
    {"a value of the shop", "shop.margin = 50 %", "a.margin_cost", 991.84, "as much as the cost"},
    {"contingency", "shop.contingency = 5 %", "a.contingency_cost", 49.59,
     "5 % of 991.84 = 49.592"},
    {"mark-up is a share of the cost", "shop.contingency = 5 %\nshop.markup = 10 %",
     "a.markup_cost", 104.14, "10 % of 991.84 + 49.59 = 104.143"},
    {"margin on all of that", "shop.contingency = 5 %\nshop.markup = 10 %", "a.margin_cost", 286.39,
     "(991.84 + 49.59 + 104.14) * 0.2 / 0.8 = 286.3925"},
    {"price of all that", "shop.contingency = 5 %\nshop.markup = 10 %", "a.price", 1431.96,
     "991.84 + 49.59 + 104.14 + 286.39"},
    {"discount", "shop.discount = 3 %", "job.discount", 60.70, "3 % of 2023.33 = 60.6999"},
    {"rounding of the offer", "shop.offer_step = 50", "job.rounding", -23.33, "2000 - 2023.33"},
    {"offer", "shop.discount = 3 %\nshop.offer_step = 10", "job.offer", 1960,
     "2023.33 - 60.70 = 1962.63, to tens"},
    {"tax on the offer", "shop.discount = 3 %\nshop.offer_step = 10", "job.tax", 490,
     "25 % of 1960"},
    {"left over is charged", "shop.left_over_charged = 50 %", "job.left_over_charge", 109.92,
     "half of 219.84"},
    {"overhead on material", "shop.overhead_material = 4 %", "a.heavy.overhead_cost", 36.41,
     "10 % of 240 + 4 % of 310.34 = 36.4136"},
    {"usual of the shop", "shop.layer_rate = usual * 2", "a.heavy.labour_cost", 480, "2 * 240"},
    {"price of a material", "materials.test_cloth.price = 20 EUR/m2", "a.heavy.cloth_cost", 426.67,
     "21.3333 * 20"},
    {"another material", "a.heavy.cloth_material = \"heavy cloth\"", "a.heavy.resin_net", 15.36,
     "4 * 4.8 * 0.8"},
    {"another material has another price", "a.heavy.cloth_material = \"heavy cloth\"",
     "a.heavy.cloth_cost", 426.67, "21.3333 m2 * 400 / 20"},
    {"hours that are bare", "a.heavy.hours = 10 h", "a.hours", 13 * H, "1 + 10 + 2"},
    {"a plain number for people", "a.heavy.crew = 1", "a.heavy.end - a.heavy.start", 6.5 * H,
     "6 h of work and noon"},
    {"more sessions", "a.heavy.plies = 9", "a.heavy.sessions", 2, "9 / 8, rounded up"},
    {"one more pair of mills", "shop.mill_count = 2", "b.block.queueing", 0, "nothing to wait for"},
    {"a cold night", "shop.night_warmer = -10 K", "a.heavy.waiting", 16 * H,
     "14:45 + 3.25 h at rate 1 until 18:00, 12 h at rate 1/2 until 06:00, then 0.75 h"},
};

static void check(void **state)
{
    const figure_row *row = *state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench.status, MW_OK);
    bench_say_all(&bench, row->say);
    double got = bench_value(&bench, row->formula);
    if (row->want == 0.0) {
        assert_close(got, row->want, 1e-9);
    } else {
        assert_near(got, row->want, 1e-12);
    }
    bench_end(&bench);
}

/* Everything again, but each set of statements taken back one by one: the job must come out as it was. */
static void check_undo(void **state)
{
    const figure_row *row = *state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    double cost = bench_value(&bench, "job.cost");
    double before = bench_value(&bench, row->formula);
    size_t count = 0;
    for (const char *at = row->say; at; at = strchr(at, '\n') ? strchr(at, '\n') + 1 : NULL) {
        count++;
    }
    bench_say_all(&bench, row->say);
    double after = bench_value(&bench, row->formula);
    for (int round = 0; round < 2; round++) {
        for (size_t i = 0; i < count; i++) {
            bench_clear(&bench);
            assert_int_equal(mw_job_undo(bench.job, &bench.reply, &bench.diags), MW_OK);
        }
        assert_true(bench_value(&bench, row->formula) == before);
        assert_true(bench_value(&bench, "job.cost") == cost);
        for (size_t i = 0; i < count; i++) {
            bench_clear(&bench);
            assert_int_equal(mw_job_redo(bench.job, &bench.reply, &bench.diags), MW_OK);
        }
        assert_true(bench_value(&bench, row->formula) == after);
    }
    bench_end(&bench);
}

/* A job changed step by step has the same bits as one opened with all that said: incremental equals full. */
static void check_fresh(void **state)
{
    const figure_row *row = *state;
    job_bench stepwise;
    job_bench fresh;
    bench_start(&stepwise, "tests/data/job/two.job");
    bench_say_all(&stepwise, row->say);
    bench_start(&fresh, "tests/data/job/two.job");
    bench_say_all(&fresh, row->say);
    bench_say_all(&fresh,
                  "mould extra: area 2 m2, recipe \"simple\"\ndrop extra"); /* builds anew */
    static const char *const looks[] = {"job.cost", "job.hours", "job.ready", "a.price", "b.mass"};
    for (size_t i = 0; i < sizeof looks / sizeof *looks; i++) {
        assert_true(bench_value(&stepwise, looks[i]) == bench_value(&fresh, looks[i]));
    }
    bench_end(&stepwise);
    bench_end(&fresh);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "by hand", rows, check);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (rows[i].say && !strstr(rows[i].say, "restore")) {
            char name[200];
            snprintf(name, sizeof name, "undo and redo: %s", rows[i].name);
            test_add_named(&list, name, check_undo, &rows[i]);
            snprintf(name, sizeof name, "anew: %s", rows[i].name);
            test_add_named(&list, name, check_fresh, &rows[i]);
        }
    }
    return test_run(&list, "job: figures by hand");
}
