/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The solver on open sets of project scheduling, from the folder that tests/plan_sets.h names.
 *
 * Without an argument: every tenth file of each set. sets-j30, j60, j120-N: mean deviation in % at N
 * schedules, from the optimum (j30) or the critical path; limit: the best published. -proven: share
 * proved optimal within a second of CPU time; -bound: by how much in % of the critical path the bound
 * stands below the best known one. max-...: share of those with a plan that is planned, and that is
 * proved optimal. sets-speed: schedules a second on 120 activities; limit: serial generation with a
 * count for each period and resource.
 *
 * With a file: the whole sets with ten seconds each; each result is a line of the file, and what
 * stands there already is not done again. */
#include <string.h>

#include "../plan_sets.h"
#include "bench.h"

enum { TENTH = 10, BUDGETS = 3, NAME = 40, LINE = 128, LONGEST = 4096 };

static const uint64_t budgets[BUDGETS] = {1000, 5000, 50000};

typedef struct set_row {
    const char *name; /* of the folder */
    const char *bounds;
    bool windows;
    bool from_optimum;
    double published[BUDGETS]; /* mean deviation, % */
    double proven;             /* share to be proved optimal */
    double gap;                /* of the bound, % of the critical path */
} set_row;

/* Deviations: the best rows of Kolisch and Hartmann, EJOR 174, 2006; Debels and Vanhoucke,
 * Operations Research 55, 2007; Valls, Ballestin and Quintanilla, EJOR 185, 2008. */
static const set_row sets[] = {
    {"j30", "bounds_j30.csv", false, true, {0.12, 0.04, 0.01}, 440.0 / 480.0, 0.0},
    {"j60", "bounds_j60.csv", false, false, {11.5, 11.0, 10.65}, 360.0 / 480.0, 1.0},
    {"j120", "bounds_j120.csv", false, false, {34.0, 32.4, 30.9}, 215.0 / 600.0, 5.0},
    {"max/j10", "max/bounds_j10.csv", true, false, {0}, 0.95, 0.0},
    {"max/j20", "max/bounds_j20.csv", true, false, {0}, 0.95, 0.0},
    {"max/j30", "max/bounds_j30.csv", true, false, {0}, 0.0, 0.0},
    {"max/ubo10", "max/bounds_ubo10.csv", true, false, {0}, 0.95, 0.0},
    {"max/ubo50", "max/bounds_ubo50.csv", true, false, {0}, 0.0, 0.0},
};

/* One result, as it stands in the file. */
typedef struct result {
    char name[NAME]; /* set/instance/what */
    int verdict;
    int32_t length, bound;
    double seconds;
} result;

typedef struct results {
    result *items;
    size_t count, room;
    FILE *file;
} results;

static result *new_result(results *r)
{
    if (r->count == r->room) {
        r->room = r->room * 2 + 64;
        r->items = realloc(r->items, r->room * sizeof *r->items);
        bench_must(r->items != NULL, "no memory");
    }
    return &r->items[r->count++];
}

static void read_results(results *r, const char *path)
{
    char line[LINE];
    r->file = fopen(path, "a+");
    bench_must(r->file != NULL, "the file of results cannot be opened");
    rewind(r->file);
    while (fgets(line, sizeof line, r->file) != NULL) {
        result got;
        if (sscanf(line, "%39s %d %d %d %lf", got.name, &got.verdict, &got.length, &got.bound,
                   &got.seconds) == 5) {
            *new_result(r) = got;
        }
    }
}

static const result *find_result(const results *r, const char *name)
{
    for (size_t i = 0; i < r->count; i++) {
        if (strcmp(r->items[i].name, name) == 0) {
            return &r->items[i];
        }
    }
    return NULL;
}

/* Lags and resources of a plan; shares nothing with the solver. */
static bool is_right(const mw_slots_problem *p, const int32_t *starts, int32_t length)
{
    static int32_t used[LONGEST];
    for (uint32_t i = 0; i < p->lag_count; i++) {
        if (starts[p->lags[i].to] - starts[p->lags[i].from] < p->lags[i].least) {
            return false;
        }
    }
    for (uint32_t r = 0; r < p->resource_count; r++) {
        memset(used, 0, sizeof used);
        for (uint32_t a = 0; a < p->activity_count; a++) {
            int32_t end = starts[a] + p->durations[a];
            for (int32_t t = starts[a]; t < end && t < LONGEST; t++) {
                used[t] += p->demands[a * p->resource_count + r];
                if (used[t] > p->capacities[r]) {
                    return false;
                }
            }
            if (starts[a] < 0 || end > length || end > LONGEST) {
                return false;
            }
        }
    }
    return true;
}

static bool is_late(void *context)
{
    return bench_now_s() > *(double *)context;
}

static void solve(const set_instance *set, uint64_t schedules, double seconds, result *got)
{
    int32_t starts[SET_ACTIVITIES];
    mw_slots_answer answer;
    double begin = bench_now_s();
    double end = begin + seconds;
    mw_slots_budget budget = {.seed = 1, .schedules = schedules};
    if (seconds > 0.0) {
        budget.conflicts = UINT64_MAX;
        budget.stop = is_late;
        budget.context = &end;
    }
    bench_must(mw_slots_solve(&set->problem, &budget, &answer, starts) == MW_OK, "no answer");
    bench_must(answer.verdict != MW_SLOTS_PLANNED || is_right(&set->problem, starts, answer.length),
               "a plan is wrong");
    got->verdict = (int)answer.verdict;
    got->length = answer.length;
    got->bound = answer.bound;
    got->seconds = bench_now_s() - begin;
}

/* Returns the result of one instance, from the file or computed. */
static result get_result(results *r, const set_row *row, const char *instance,
                         const set_instance *set, int budget)
{
    result got;
    double seconds = budget < BUDGETS ? 0.0 : r->file == NULL ? 1.0 : 10.0;
    uint64_t schedules = budget < BUDGETS ? budgets[budget] : budgets[1];
    snprintf(got.name, sizeof got.name, "%s/%s/%d", row->name, instance, budget);
    const result *known = find_result(r, got.name);
    if (known != NULL) {
        return *known;
    }
    solve(set, schedules, seconds, &got);
    if (r->file != NULL) {
        fprintf(r->file, "%s %d %d %d %.3f\n", got.name, got.verdict, got.length, got.bound,
                got.seconds);
        fflush(r->file);
    }
    return got;
}

typedef struct sums {
    int count, possible, planned, proven;
    double deviation, gap, seconds;
} sums;

static void add_up(sums *s, const set_row *row, const set_bounds *known, const result *got)
{
    s->count++;
    s->seconds += got->seconds;
    if (known->impossible) {
        bench_must(got->verdict != (int)MW_SLOTS_PLANNED, "a plan of what has none");
        return;
    }
    bench_must(got->verdict != (int)MW_SLOTS_IMPOSSIBLE, "called impossible, and is not");
    bench_must(got->bound <= known->upper, "a bound above a known plan");
    s->possible++;
    s->gap += 100.0 * (known->lower - got->bound) / known->path;
    if (got->verdict != (int)MW_SLOTS_PLANNED) {
        return;
    }
    bench_must(got->length >= known->lower, "shorter than can be");
    s->planned++;
    s->proven += got->length == got->bound ? 1 : 0;
    int32_t base = row->from_optimum ? known->upper : known->path;
    s->deviation += 100.0 * (got->length - base) / base;
}

static bool read_instance(const set_row *row, const char *name, set_instance *set)
{
    char path[SET_PATH];
    snprintf(path, sizeof path, "%s/%s.%s", row->name, name, row->windows ? "sch" : "sm");
    FILE *file = set_open(path);
    return file != NULL && (row->windows ? set_read_sch(file, set) : set_read_sm(file, set));
}

static void print_share(const set_row *row, const char *what, double value, double limit)
{
    char name[NAME];
    snprintf(name, sizeof name, "sets-%s-%s", row->name, what);
    bench_print(name, value, "1", limit);
}

static void print_sums(const set_row *row, const sums *s, int budget)
{
    char name[NAME];
    if (budget < BUDGETS) {
        snprintf(name, sizeof name, "sets-%s-%d", row->name, (int)budgets[budget]);
        bench_print(name, s->deviation / s->planned, "%", row->published[budget]);
        return;
    }
    if (row->windows) {
        print_share(row, "planned", (double)s->planned / s->possible, 0.95);
    }
    if (row->proven > 0.0) {
        print_share(row, "proven", (double)s->proven / s->possible, row->proven);
    }
    if (row->gap > 0.0) {
        snprintf(name, sizeof name, "sets-%s-bound", row->name);
        bench_print(name, s->gap / s->possible, "%", row->gap);
    }
    fprintf(stderr, "%s: %d instances, %d with a plan, %d planned, %d proven, %.0f s CPU\n",
            row->name, s->count, s->possible, s->planned, s->proven, s->seconds);
}

static void run_set(results *r, const set_row *row, int budget)
{
    static set_instance set;
    set_bounds known;
    sums s = {0};
    FILE *bounds = set_open(row->bounds);
    if (bounds == NULL) {
        printf("{\"bench\": \"sets-%s\", \"skipped\": \"no open sets in %s\"}\n", row->name,
               set_folder());
        return;
    }
    for (int i = 0; set_next_bounds(bounds, &known); i++) {
        if (r->file == NULL && i % TENTH != 0) {
            continue;
        }
        bench_must(read_instance(row, known.name, &set), "an instance cannot be read");
        result got = get_result(r, row, known.name, &set, budget);
        add_up(&s, row, &known, &got);
    }
    fclose(bounds);
    print_sums(row, &s, budget);
}

/* --- speed -------------------------------------------------------------------------------------- */

/* Serial generation with a count for each period and resource. */
static int32_t plain_serial(const mw_slots_problem *p, const uint32_t *list)
{
    static int32_t used[LONGEST][SET_RESOURCES];
    static int32_t from[SET_ACTIVITIES];
    static uint32_t first[SET_ACTIVITIES + 1];
    static mw_slots_lag out[SET_LAGS];
    int32_t last = 0;
    uint32_t resources = p->resource_count;
    if (first[p->activity_count] == 0) {
        for (uint32_t a = 0, k = 0; a < p->activity_count; a++) {
            for (uint32_t i = 0; i < p->lag_count; i++) {
                if (p->lags[i].from == a) {
                    out[k++] = p->lags[i];
                }
            }
            first[a + 1] = k;
        }
    }
    memset(used, 0, sizeof used[0] * 512);
    memset(from, 0, sizeof from);
    for (uint32_t i = 0; i < p->activity_count; i++) {
        uint32_t a = list[i];
        int32_t start = from[a];
        int32_t run = 0;
        for (int32_t t = start; run < p->durations[a]; t++) {
            bool fits = true;
            for (uint32_t r = 0; r < resources; r++) {
                fits = fits && used[t][r] + p->demands[a * resources + r] <= p->capacities[r];
            }
            run = fits ? run + 1 : 0;
            start = t + 1 - run;
        }
        int32_t end = start + p->durations[a];
        for (int32_t t = start; t < end; t++) {
            for (uint32_t r = 0; r < resources; r++) {
                used[t][r] += p->demands[a * resources + r];
            }
        }
        for (uint32_t e = first[a]; e < first[a + 1]; e++) {
            int32_t at = start + out[e].least;
            from[out[e].to] = at > from[out[e].to] ? at : from[out[e].to];
        }
        last = end > last ? end : last;
    }
    return last;
}

enum { SPEED_SCHEDULES = 100000, ROUNDS = 5 };

static void bench_speed(void)
{
    static set_instance set;
    FILE *file = set_open("j120/j12011_1.sm");
    if (file == NULL || !set_read_sm(file, &set)) {
        printf("{\"bench\": \"sets-speed\", \"skipped\": \"no open sets in %s\"}\n", set_folder());
        return;
    }
    uint32_t list[SET_ACTIVITIES];
    for (uint32_t a = 0; a < set.problem.activity_count; a++) {
        list[a] = a; /* the files number every job behind those that it follows */
    }
    double ours[ROUNDS], theirs[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        result got;
        solve(&set, SPEED_SCHEDULES, 0.0, &got);
        ours[i] = SPEED_SCHEDULES / got.seconds;
        double begin = bench_now_s();
        int64_t sum = 0;
        for (int k = 0; k < SPEED_SCHEDULES; k++) {
            sum += plain_serial(&set.problem, list);
        }
        theirs[i] = SPEED_SCHEDULES / (bench_now_s() - begin);
        bench_must(sum > 0, "no schedule");
    }
    bench_print("sets-speed", bench_median(ours, ROUNDS), "1/s", bench_median(theirs, ROUNDS));
}

int main(int count, char **arguments)
{
    results r = {0};
    if (count > 1) {
        read_results(&r, arguments[1]);
    } else {
        bench_speed();
    }
    for (size_t i = 0; i < sizeof sets / sizeof sets[0]; i++) {
        for (int budget = sets[i].windows ? BUDGETS : 0; budget <= BUDGETS; budget++) {
            run_set(&r, &sets[i], budget);
        }
    }
    if (r.file != NULL) {
        fclose(r.file);
    }
    free(r.items);
    return EXIT_SUCCESS;
}
