/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is bought for a job on frozen materials, by hand from their files: packs, stock, dates, shelf life. */
#include "job_bench.h"

#include <math.h>

#include "mouldwright/buying.h"
#include "mouldwright/date.h"

typedef struct buy_row {
    const char *name;
    const char *says; /* to the job first */
    const char *material;
    uint32_t counts[3];
    int64_t cost;
    double left_over; /* SI */
    mw_keeps keeps;
} buy_row;

/* Resin: 8.084 kg for a, 2.358 kg for b: three parts of resin to one of hardener, 7.832 and 2.611 kg. Sets of 4 kg at 60, 9 kg of
 * resin at 81, 3 kg of hardener at 36 or, from two on, 30. Cloth: 27.556 m2, 10 on the shelf; rolls of 50 at 500, cut pieces
 * of 10 at 130, two at least. */
static const buy_row rows[] = {
    {"parts apart are cheaper than sets",
     "",
     "kit resin",
     {0, 1, 1},
     11700,
     12 - 10.4421052631579,
     MW_KEEPS_NO},
    {"the shelf first",
     "materials.kit_resin.on_hand = 7 kg",
     "kit resin",
     {1, 0, 0},
     6000,
     4 - 3.4421052631579,
     MW_KEEPS_NO},
    {"all from the shelf",
     "materials.kit_resin.on_hand = 70 kg",
     "kit resin",
     {0, 0, 0},
     0,
     0,
     MW_KEEPS_NOTHING},
    {"the least order",
     "materials.kit_resin.least_order = 22 kg",
     "kit resin",
     {0, 2, 2},
     22200,
     24 - 10.4421052631579,
     MW_KEEPS_NO},
    {"two pieces at least",
     "",
     "roll cloth",
     {0, 2, 0},
     26000,
     20 - 17.5555555555556,
     MW_KEEPS_UNKNOWN},
    {"two pieces, though one would do",
     "materials.roll_cloth.on_hand = 20 m2",
     "roll cloth",
     {0, 2, 0},
     26000,
     20 - 7.5555555555556,
     MW_KEEPS_UNKNOWN},
    {"a next job that comes at once",
     "shop.next_job = 1 d",
     "kit resin",
     {0, 1, 1},
     11700,
     12 - 10.4421052631579,
     MW_KEEPS_YES},
};

static const mw_purchase *purchase_of(job_bench *bench, const char *material)
{
    const mw_purchase *list;
    uint32_t count = 0;
    bench_clear(bench);
    assert_int_equal(mw_job_purchases(bench->job, MW_NONE, &list, &count, &bench->diags), MW_OK);
    for (uint32_t i = 0; i < count; i++) {
        if (mw_str_is(list[i].material->name, material)) {
            return &list[i];
        }
    }
    fail_msg("nothing is bought of %s", material);
    return NULL;
}

static void check_row(void **state)
{
    const buy_row *row = *state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/buy.job");
    assert_int_equal(bench.status, MW_OK);
    bench_say_all(&bench, row->says);
    const mw_purchase *of = purchase_of(&bench, row->material);
    for (uint32_t i = 0; i < 3; i++) {
        assert_int_equal(of->counts[i], row->counts[i]);
    }
    assert_int_equal(of->cost, row->cost);
    assert_near(of->left_over + 1.0, row->left_over + 1.0, 1e-9);
    assert_int_equal(of->keeps, row->keeps);
    assert_true(of->proven);
    bench_end(&bench);
}

static double day(int year, int month, int of_month)
{
    return mw_date_to_day((mw_date){year, month, of_month}) * MW_DAY_S;
}

/* The lay-up of a begins on Mon 2027-01-04, after an hour at the mill: two days before that is a Saturday, and no shift works at
 * the week's end; Fri 2027-01-01 is before the date of the estimate. Thirty days before is Sat 2026-12-05. */
static void orders_are_dated(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/buy.job");
    const mw_purchase *resin = purchase_of(&bench, "kit resin");
    assert_true(resin->order_by_s == day(2027, 1, 1));
    assert_true(resin->late);
    const mw_purchase *cloth = purchase_of(&bench, "roll cloth");
    assert_true(cloth->order_by_s == day(2026, 12, 4));
    bench_say_all(&bench, "start 2027-03-01");
    resin = purchase_of(&bench, "kit resin");
    assert_true(resin->order_by_s == day(2027, 2, 26));
    assert_false(resin->late);
    bench_end(&bench);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "buy", rows, check_row);
    test_add(&tests, orders_are_dated);
    return test_run(&tests, "job_buying");
}
