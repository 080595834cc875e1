/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Networks whose critical path and floats stand in textbooks. Early dates come from the network as
 * it is, late dates from the network turned round: what is left between them is the float. Every
 * network is planned with its precedences said as lags of all four kinds in turn, which must make
 * no difference. */
#include "plan_checker.h"
#include "plan_problem.h"

enum { MOST = 14 };

typedef struct network_row {
    const char *name;
    const char *source;
    double total;
    struct {
        char name;
        double duration;
        const char *follows; /* names */
        double total_float;
    } activities[MOST];
} network_row;

static const network_row rows[] = {
    {.name = "network of thirteen arcs with a dummy",
     .source =
         "Taylor, Introduction to Management Science, instructor's solutions to chapter 8, table "
         "of network 2. The letters are its arcs in order: A 1-2, B 1-3, C 1-4, D 2-5, E 2-6, "
         "F 3-5, G 4-5 (dummy), H 4-7, I 5-7, J 5-8, K 6-9, L 7-8, M 8-9",
     .total = 38,
     .activities = {{'A', 8, "", 1},
                    {'B', 10, "", 0},
                    {'C', 9, "", 6},
                    {'D', 6, "A", 1},
                    {'E', 4, "A", 8},
                    {'F', 5, "B", 0},
                    {'G', 0, "C", 6},
                    {'H', 7, "C", 11},
                    {'I', 12, "DFG", 0},
                    {'J', 15, "DFG", 1},
                    {'K', 18, "E", 8},
                    {'L', 4, "HI", 0},
                    {'M', 7, "JL", 0}}},
    {.name = "network of fourteen activities",
     .source = "an open course on construction management, worked example of the critical path "
               "method (durations and path lengths read there; floats recomputed)",
     .total = 41,
     .activities = {{'A', 2, "", 0},
                    {'B', 10, "A", 0},
                    {'C', 13, "A", 11},
                    {'D', 12, "A", 2},
                    {'E', 12, "B", 6},
                    {'F', 7, "B", 0},
                    {'G', 10, "D", 2},
                    {'H', 16, "D", 3},
                    {'I', 6, "F", 0},
                    {'J', 12, "CG", 2},
                    {'K', 5, "I", 0},
                    {'L', 8, "EK", 0},
                    {'M', 5, "H", 3},
                    {'N', 3, "JLM", 0}}},
    {.name = "Reliable Construction Co.",
     .source =
         "Hillier and Lieberman, Introduction to Operations Research, prototype example of the "
         "chapter on projects (durations read there; precedences and total from memory; "
         "floats recomputed)",
     .total = 44,
     .activities = {{'A', 2, "", 0},
                    {'B', 4, "A", 0},
                    {'C', 10, "B", 0},
                    {'D', 6, "C", 4},
                    {'E', 4, "C", 0},
                    {'F', 5, "E", 0},
                    {'G', 7, "D", 4},
                    {'H', 9, "EG", 4},
                    {'I', 7, "C", 2},
                    {'J', 8, "FI", 0},
                    {'K', 4, "J", 1},
                    {'L', 5, "J", 0},
                    {'M', 2, "H", 4},
                    {'N', 6, "KL", 0}}},
};

static uint32_t size_of(const network_row *row)
{
    uint32_t count = 0;
    while (count < MOST && row->activities[count].name != '\0') {
        count++;
    }
    return count;
}

/* `kind` 0 to 3: bit 0 the lag counts from the end, bit 1 to the end. */
static void add_precedence(builder *b, uint32_t from, uint32_t to, int kind)
{
    bool from_end = kind % 2 == 1;
    bool to_end = kind / 2 == 1;
    double amount_s =
        (from_end ? 0.0 : b->activities[from].work_s) + (to_end ? b->activities[to].work_s : 0.0);
    add_lag(b, (mw_plan_lag){.from = from,
                             .to = to,
                             .from_end = from_end,
                             .to_end = to_end,
                             .amount_s = amount_s,
                             .calendar = ALWAYS});
}

static builder *build_network(const network_row *row, bool turned, int kind)
{
    builder *b = new_shop_builder(JAN(11, 0, 0));
    uint32_t count = size_of(row);
    for (uint32_t i = 0; i < count; i++) {
        add_activity(b, (mw_plan_activity){.work_s = HOURS(row->activities[i].duration),
                                           .calendar = ALWAYS,
                                           .earliest_s = ANY});
    }
    for (uint32_t i = 0; i < count; i++) {
        for (const char *f = row->activities[i].follows; *f != '\0'; f++) {
            uint32_t before = (uint32_t)(*f - 'A');
            assert_int_equal(row->activities[before].name, *f);
            add_precedence(b, turned ? i : before, turned ? before : i, kind);
        }
    }
    return b;
}

static double hours_from_start(double at_s)
{
    return (at_s - JAN(11, 0, 0)) / 3600.0;
}

static double last_end(const mw_plan_slot *slots, uint32_t count)
{
    double last = 0.0;
    for (uint32_t i = 0; i < count; i++) {
        last = fmax(last, hours_from_start(slots[i].end_s));
    }
    return last;
}

static void plan_network(const network_row *row, int kind)
{
    uint32_t count = size_of(row);
    builder *forth = build_network(row, false, kind);
    builder *back = build_network(row, true, kind);
    mw_plan *early = mw_plan_new();
    mw_plan *late = mw_plan_new();
    assert_non_null(early);
    assert_non_null(late);
    assert_int_equal(mw_plan_first(early, &forth->problem), MW_OK);
    assert_int_equal(mw_plan_first(late, &back->problem), MW_OK);
    assert_right_plan(early, &forth->problem, row->source);
    assert_right_plan(late, &back->problem, row->source);
    const mw_plan_slot *starts = mw_plan_slots(early);
    const mw_plan_slot *turned = mw_plan_slots(late);
    assert_close(last_end(starts, count), row->total, 0.0);
    assert_close(last_end(turned, count), row->total, 0.0);
    for (uint32_t i = 0; i < count; i++) {
        double late_end = row->total - hours_from_start(turned[i].start_s);
        assert_close(late_end - hours_from_start(starts[i].end_s), row->activities[i].total_float,
                     0.0);
    }
    mw_plan_free(early);
    mw_plan_free(late);
    free_builder(forth);
    free_builder(back);
}

static void critical_path_and_floats(void **state)
{
    for (int kind = 0; kind < 4; kind++) {
        plan_network(*state, kind);
    }
}

int main(void)
{
    return run_rows("published networks", rows, critical_path_and_floats);
}
