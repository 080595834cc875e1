/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Money adds up to the minor unit, in thousands of random jobs: however postings are grouped, every sum is the job's; cost
 * leads to the price, the price to the payments. The seed is printed; MW_SEED sets another. */
#include "job_bench.h"

#include <math.h>
#include <stdlib.h>

#include "mouldwright/buying.h"
#include "mouldwright/pricing.h"

static uint64_t state_of_random;

static uint32_t below(uint32_t count)
{
    state_of_random = state_of_random * 6364136223846793005ULL + 1442695040888963407ULL;
    return (uint32_t)(state_of_random >> 33) % count;
}

static int64_t cents(job_bench *bench, const char *name)
{
    const double value = mw_job_total(bench->job, name);
    const int64_t made = llround(value * 100.0);
    assert_true(fabs(value * 100.0 - (double)made) < 1e-4); /* whole minor units */
    return made;
}

typedef struct groups {
    int64_t kind[MW_POST_KINDS];
    int64_t mould[16];
    int64_t cost, price;
    int64_t trade[2], nobody;
} groups;

static void gather(job_bench *bench, groups *of)
{
    const mw_posting *postings;
    uint32_t count = 0;
    *of = (groups){.cost = 0};
    bench_clear(bench);
    assert_int_equal(mw_job_postings(bench->job, MW_NONE, &postings, &count, &bench->diags), MW_OK);
    const mw_shop *shop = mw_job_shop(bench->job);
    for (uint32_t i = 0; i < count; i++) {
        const mw_posting *p = &postings[i];
        of->kind[p->kind] += p->minor;
        of->mould[p->mould] += p->minor;
        of->price += p->minor;
        of->cost += p->kind < MW_POST_CONTINGENCY ? p->minor : 0;
        if (p->kind == MW_POST_LABOUR) {
            const mw_str trade = mw_job_mould(bench->job, p->mould).recipe->steps[p->step].trade;
            int64_t *to = mw_same_name(trade, shop->trades[0].name)   ? &of->trade[0]
                          : mw_same_name(trade, shop->trades[1].name) ? &of->trade[1]
                                                                      : &of->nobody;
            *to += p->minor;
        }
    }
}

static void check_groups(job_bench *bench)
{
    groups of;
    gather(bench, &of);
    int64_t kinds = 0;
    int64_t moulds = 0;
    for (size_t k = 0; k < MW_POST_KINDS; k++) {
        kinds += of.kind[k];
    }
    for (uint32_t m = 0; m < mw_job_mould_count(bench->job); m++) {
        assert_int_equal(of.mould[m], llround(mw_job_value(bench->job, m, MW_NONE, "price") * 100));
        moulds += of.mould[m];
    }
    assert_int_equal(kinds, of.price);
    assert_int_equal(moulds, of.price);
    assert_int_equal(cents(bench, "job.cost"), of.cost);
    assert_int_equal(cents(bench, "job.price"), of.price);
    assert_int_equal(of.trade[0] + of.trade[1], of.kind[MW_POST_LABOUR]);
    assert_int_equal(of.nobody, 0);
    assert_int_equal(cents(bench, "job.material_cost"), of.kind[MW_POST_MATERIAL]);
}

static void check_needs(job_bench *bench)
{
    const mw_need *needs;
    const mw_purchase *purchases;
    uint32_t count = 0;
    int64_t material = 0;
    assert_int_equal(mw_job_needs(bench->job, MW_NONE, &needs, &count, &bench->diags), MW_OK);
    for (uint32_t i = 0; i < count; i++) {
        material += needs[i].cost_minor;
    }
    assert_int_equal(material, cents(bench, "job.material_cost"));
    assert_int_equal(mw_job_purchases(bench->job, MW_NONE, &purchases, &count, &bench->diags),
                     MW_OK);
    for (uint32_t i = 0; i < count; i++) {
        int64_t lines = 0;
        for (uint32_t k = 0; k < purchases[i].material->pack_count; k++) {
            lines += purchases[i].lines[k];
        }
        assert_int_equal(lines, purchases[i].cost);
        assert_true(purchases[i].bought + purchases[i].from_stock >=
                    purchases[i].needed * (1 - 1e-8));
    }
}

static void check_offer(job_bench *bench)
{
    const mw_due *dues;
    uint32_t count = 0;
    int64_t paid = 0;
    assert_int_equal(cents(bench, "job.offer"),
                     cents(bench, "job.price") + cents(bench, "job.left_over_charge") -
                         cents(bench, "job.discount") + cents(bench, "job.rounding"));
    assert_int_equal(cents(bench, "job.total"),
                     cents(bench, "job.offer") + cents(bench, "job.tax"));
    assert_int_equal(mw_job_dues(bench->job, &dues, &count, &bench->diags), MW_OK);
    for (uint32_t i = 0; i < count; i++) {
        paid += dues[i].minor;
    }
    assert_int_equal(paid, cents(bench, "job.total"));
}

static void change(job_bench *bench, uint32_t moulds)
{
    static const char *const shares[] = {"overhead", "overhead_material", "margin",
                                         "tax",      "contingency",       "markup",
                                         "discount", "left_over_charged"};
    char line[200];
    switch (below(4)) {
    case 0:
        snprintf(line, sizeof line, "shop.%s = %u.%u %%", shares[below(8)], below(50), below(100));
        break;
    case 1:
        snprintf(line, sizeof line, "shop.offer_step = %u", below(4) * 25);
        break;
    case 2:
        snprintf(line, sizeof line, "m%u.heavy.hours = %u.%03u h", below(moulds), below(9),
                 below(1000));
        break;
    default:
        snprintf(line, sizeof line, "m%u.heavy.plies = %u", below(moulds), 1 + below(9));
        break;
    }
    bench_say_all(bench, line);
}

#define JOBS    150
#define CHANGES 20

static void random_jobs(void **state)
{
    (void)state;
    const char *seed = getenv("MW_SEED");
    state_of_random = seed ? strtoull(seed, NULL, 10) : 20270311;
    print_message("seed %llu, %d jobs\n", (unsigned long long)state_of_random, JOBS * CHANGES);
    for (int j = 0; j < JOBS; j++) {
        job_bench bench;
        bench_start(&bench, NULL);
        bench_say_all(&bench, "shop \"yard\"\nstart 2027-01-04");
        const uint32_t moulds = 1 + below(5);
        for (uint32_t m = 0; m < moulds; m++) {
            char line[200];
            snprintf(line, sizeof line, "mould m%u: area %u.%03u m2, recipe \"%s\"", m,
                     1 + below(6), below(1000), below(2) ? "simple" : "simple more");
            bench_say_all(&bench, line);
        }
        for (int c = 0; c < CHANGES; c++) {
            change(&bench, moulds);
            check_groups(&bench);
            check_needs(&bench);
            check_offer(&bench);
        }
        bench_end(&bench);
    }
}

/* The unit form at 80 %: unit 2 takes 80000 of 100000 hours, 4 takes 64000, 64 takes 26214. Jacobs and Chase, Operations and
 * Supply Chain Management, exhibit 4A.2. */
static void repeats_follow_the_curve(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    bench_say_all(&bench, "shop.learning = 80 %");
    assert_int_equal(mw_job_repeat(bench.job, 100000, 1), 100000);
    assert_int_equal(mw_job_repeat(bench.job, 100000, 2), 80000);
    assert_int_equal(mw_job_repeat(bench.job, 100000, 4), 64000);
    assert_int_equal(mw_job_repeat(bench.job, 100000, 64), 26214);
    bench_end(&bench);
}

int main(void)
{
    test_list tests = {0};
    test_add(&tests, random_jobs);
    test_add(&tests, repeats_follow_the_curve);
    return test_run(&tests, "job_adding");
}
