/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Timeline, day, week, use, slack: they agree with the hours and the calendar, and with figures
 * worked out by hand. */
#include "job_bench.h"
#include "report_json.h"

#include <math.h>

#include "mouldwright/report.h"

/* What a report says. */
static mw_text ask(job_bench *bench, const char *word, const char *argument, mw_style style)
{
    mw_text out = {0};
    const mw_request request = {.word = mw_str_of(word),
                                .argument = mw_str_of(argument),
                                .argument_at = {.source = MW_NONE},
                                .style = &style};
    bench_clear(bench);
    assert_int_equal(mw_report(bench->job, &request, &out, &bench->diags), MW_OK);
    assert_false(out.failed);
    return out;
}

static json_tree ask_json(job_bench *bench, const char *word, const char *argument, mw_text *text)
{
    *text = ask(bench, word, argument, (mw_style){.width = 80, .json = true});
    json_tree tree = json_read(mw_text_chars(text), text->length);
    assert_null(tree.fault);
    return tree;
}

static double number_of(const json_tree *tree, unsigned row, const char *key)
{
    const unsigned field = json_find(tree, row, key);
    assert_true(field != JSON_NONE);
    const unsigned value = json_find(tree, field, "value");
    assert_true(value != JSON_NONE);
    return tree->nodes[value].number;
}

static bool named(const json_tree *tree, unsigned row, const char *key, mw_str name)
{
    const json_node *field = &tree->nodes[json_find(tree, row, key)];
    return field->length == name.length && memcmp(field->text, name.at, name.length) == 0;
}

static double moment_of(const json_tree *tree, unsigned row, const char *key)
{
    const json_node *text = &tree->nodes[json_find(tree, json_find(tree, row, key), "date")];
    double moment_s = 0.0;
    bool exists = false;
    assert_int_equal(mw_date_read((mw_str){text->text, text->length}, &moment_s, &exists),
                     text->length);
    assert_true(exists);
    return moment_s;
}

static const mw_step_row *step_of(const mw_job *job, const mw_session *of)
{
    return &mw_job_mould(job, of->mould).recipe->steps[of->step];
}

/* ---- use ---- */

typedef struct job_row {
    const char *name;
    const char *path;
    const char *change;   /* said first; NULL: nothing */
    double hours_least_h; /* so many hours of people at least are held against the hours report */
} job_row;

static const job_row jobs[] = {
    {"two moulds of a test", "tests/data/job/two.job", NULL, 12.0},
    {"the same with a holiday in the midst", "tests/data/job/two.job",
     "moulds.demould.hours = 30 h", 60.0},
    {"a boat", "samples/creek.job", NULL, 60.0},
    {"ten moulds", "samples/dunlin.job", NULL, 300.0},
    {"floats of a list", "samples/floats.job", NULL, 100.0},
};

static void open_row(job_bench *bench, const job_row *row)
{
    if (strncmp(row->path, "samples/", 8) == 0) {
        bench_open_shipped(bench, row->path);
    } else {
        bench_start(bench, row->path);
    }
    if (row->change) {
        assert_int_equal(bench_say(bench, row->change), MW_OK);
    }
}

/* Hours of one of the people or machines over all weeks, as `use` says. */
static double use_in_all(const json_tree *tree, mw_str who)
{
    double sum_h = 0.0;
    for (unsigned row = tree->nodes[json_find(tree, 1, "weeks")].first; row;
         row = tree->nodes[row].next) {
        if (named(tree, row, "who", who)) {
            const double ours_h = number_of(tree, row, "ours");
            const double open_h = number_of(tree, row, "open");
            sum_h += ours_h;
            assert_true(ours_h + number_of(tree, row, "promised") <= open_h + 1e-6);
            assert_near(open_h > 0.0 ? number_of(tree, row, "share") : 0.0,
                        open_h > 0.0 ? (ours_h + number_of(tree, row, "promised")) / open_h * 100.0
                                     : 0.0,
                        1e-9);
        }
    }
    return sum_h;
}

/* The same from the sessions of the calendar, by the shift of a trade. */
static double sessions_in_all(const mw_job *job, const mw_resource_view *who)
{
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(job, &count);
    double sum_s = 0.0;
    for (uint32_t i = 0; i < count; i++) {
        if (list[i].hold_count > 0 && mw_str_equal(step_of(job, &list[i])->trade, who->name)) {
            const double held_s = mw_calendar_amount(who->shift, list[i].start_s, list[i].end_s);
            const uint32_t resource = mw_job_holds(job, &list[i])->resource;
            const bool looks_after = mw_job_resource(job, resource).machine;
            sum_s += looks_after ? 0.0 : list[i].crew * held_s;
        }
    }
    return sum_s / 3600.0;
}

static void test_use_and_calendar(void **state)
{
    const job_row *row = *state;
    job_bench bench;
    open_row(&bench, row);
    mw_text text;
    json_tree use = ask_json(&bench, "use", "", &text);
    double sum_h = 0.0;
    for (uint32_t r = 0; r < mw_job_resource_count(bench.job); r++) {
        const mw_resource_view who = mw_job_resource(bench.job, r);
        const double used_h = use_in_all(&use, who.name);
        sum_h += who.machine ? 0.0 : used_h;
        if (!who.machine) {
            assert_close(used_h, sessions_in_all(bench.job, &who), 1e-6 * (1.0 + used_h));
        }
    }
    assert_true(sum_h >= row->hours_least_h);
    json_end(&use);
    mw_text_free(&text);
    bench_end(&bench);
}

/* Whether a step keeps whole people for all its hours: no machine that they only look after. */
static bool plain_step(const mw_job *job, uint32_t mould, uint32_t step)
{
    const double machine_s = mw_job_value(job, mould, step, "machine_hours");
    const double crew = mw_job_value(job, mould, step, "crew");
    return !(machine_s > 0.0) && (isnan(crew) || crew == floor(crew));
}

/* Hours of people (person-hours) of all plain steps, and what their sessions hold. */
static void test_use_and_hours(void **state)
{
    const job_row *row = *state;
    job_bench bench;
    open_row(&bench, row);
    const double share = mw_job_total(bench.job, "shop.productive_share");
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(bench.job, &count);
    double all_h = 0.0;
    for (uint32_t m = 0; m < mw_job_mould_count(bench.job); m++) {
        for (uint32_t s = 0; s < mw_job_mould(bench.job, m).recipe->step_count; s++) {
            const double hours_s = mw_job_value(bench.job, m, s, "hours");
            double held_s = 0.0;
            for (uint32_t i = 0; i < count; i++) {
                const mw_session *of = &list[i];
                const mw_plan_need *holds = mw_job_holds(bench.job, of);
                if (of->mould == m && of->step == s && of->hold_count > 0) {
                    const mw_calendar *shift = mw_job_resource(bench.job, holds->resource).shift;
                    held_s += holds->amount * mw_calendar_amount(shift, of->start_s, of->end_s);
                }
            }
            if (plain_step(bench.job, m, s) && hours_s > 0.0 && held_s > 0.0) {
                assert_close(held_s * share, hours_s, 1e-3 * count + 1e-6 * hours_s);
                all_h += hours_s / 3600.0;
            }
        }
    }
    assert_true(all_h >= row->hours_least_h * share);
    bench_end(&bench);
}

/* ---- days and nights ---- */

static mw_str day_word(int32_t day, mw_text *out)
{
    const mw_date date = mw_date_of_day(day);
    mw_text_clear(out);
    mw_text_addf(out, "%04d-%02d-%02d", date.year, date.month, date.day);
    return (mw_str){mw_text_chars(out), out->length};
}

/* Person-hours of the people on one day, from its rows; adds the nights of waits. */
static double people_of_day(job_bench *bench, const mw_resource_view *who, int32_t day,
                            unsigned *nights)
{
    mw_text word = {0};
    mw_text text;
    day_word(day, &word);
    json_tree tree = ask_json(bench, "roster", mw_text_chars(&word), &text);
    double sum_h = 0.0;
    for (unsigned row = tree.nodes[json_find(&tree, 1, "work")].first; row;
         row = tree.nodes[row].next) {
        const double from_s = moment_of(&tree, row, "from");
        const double until_s = moment_of(&tree, row, "until");
        assert_true(floor(from_s / MW_DAY_S) == day && from_s < until_s);
        if (named(&tree, row, "who", who->name)) {
            sum_h += number_of(&tree, row, "count") *
                     mw_calendar_amount(who->shift, from_s, until_s) / 3600.0;
        }
    }
    for (unsigned row = tree.nodes[json_find(&tree, 1, "nights")].first; row;
         row = tree.nodes[row].next) {
        (*nights)++;
    }
    json_end(&tree);
    mw_text_free(&text);
    mw_text_free(&word);
    return sum_h;
}

/* Midnights that fall into the wait after a session. */
static unsigned count_nights(const mw_job *job)
{
    uint32_t count = 0;
    unsigned nights = 0;
    const mw_session *list = mw_job_sessions(job, &count);
    for (uint32_t i = 0; i < count; i++) {
        const double first = ceil(list[i].end_s / MW_DAY_S);
        for (double at = first; at * MW_DAY_S < list[i].wait_until_s; at += 1.0) {
            nights++;
        }
    }
    return nights;
}

static void test_days(void **state)
{
    const job_row *row = *state;
    job_bench bench;
    open_row(&bench, row);
    const int32_t first = (int32_t)floor(mw_job_total(bench.job, "job.start") / MW_DAY_S);
    const int32_t last = (int32_t)floor(mw_job_total(bench.job, "job.ready") / MW_DAY_S);
    unsigned nights = 0;
    const mw_resource_view who = mw_job_resource(bench.job, 0);
    double sum_h = 0.0;
    for (int32_t day = first; day <= last; day++) {
        sum_h += people_of_day(&bench, &who, day, &nights);
    }
    assert_true(sum_h > 1.0);
    /* dates of JSON are whole seconds: two rows a session and day at the most are off by one */
    assert_close(sum_h, sessions_in_all(bench.job, &who), 1e-2 * (1.0 + (double)(last - first)));
    assert_int_equal(nights, count_nights(bench.job));
    assert_true(nights > 0);
    bench_end(&bench);
}

/* ---- timeline ---- */

static size_t widest_line(const mw_text *text, size_t *lines)
{
    size_t widest = 0;
    *lines = 0;
    const char *end = text->data + text->length;
    for (const char *at = text->data; at < end;) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        const size_t length = stop ? (size_t)(stop - at) : (size_t)(end - at);
        const size_t columns = mw_utf8_columns((mw_str){at, length});
        assert_true(length == 0 || at[length - 1] != ' ');
        widest = columns > widest ? columns : widest;
        at += length + 1;
        (*lines)++;
    }
    return widest;
}

/* The UTF-8 drawing with its marks put into ASCII is the ASCII drawing. */
static void check_marks(mw_text *drawn, const mw_text *ascii)
{
    static const char *const pairs[][2] = {{"·", "."}, {"░", "~"}, {"█", "#"}, {"▓", "@"}};
    mw_text plain = {0};
    for (size_t i = 0; i < drawn->length;) {
        size_t used = 1;
        const char *as = NULL;
        for (size_t p = 0; p < sizeof pairs / sizeof *pairs; p++) {
            const size_t length = strlen(pairs[p][0]);
            if (i + length <= drawn->length && memcmp(drawn->data + i, pairs[p][0], length) == 0) {
                as = pairs[p][1];
                used = length;
            }
        }
        if (as) {
            mw_text_adds(&plain, as);
        } else {
            mw_text_addc(&plain, drawn->data[i]);
        }
        i += used;
    }
    assert_string_equal(mw_text_chars(&plain), ascii->data);
    mw_text_free(&plain);
}

static void check_width(job_bench *bench, const char *mould, size_t width, size_t rows_least)
{
    mw_text drawn = ask(bench, "timeline", mould, (mw_style){.width = (uint32_t)width});
    mw_text ascii =
        ask(bench, "timeline", mould, (mw_style){.width = (uint32_t)width, .ascii = true});
    size_t lines;
    if (widest_line(&drawn, &lines) > width) {
        fail_msg("wider than %zu:\n%s", width, mw_text_chars(&drawn));
    }
    assert_true(lines >= rows_least);
    mw_text_chars(&ascii);
    check_marks(&drawn, &ascii);
    mw_text_free(&drawn);
    mw_text_free(&ascii);
}

static void test_timeline_widths(void **state)
{
    const job_row *row = *state;
    job_bench bench;
    open_row(&bench, row);
    for (size_t width = 40; width <= 200; width += 20) {
        check_width(&bench, "", width, mw_job_mould_count(bench.job) + 2);
        for (uint32_t m = 0; m < mw_job_mould_count(bench.job); m++) {
            const mw_str name = mw_job_mould(bench.job, m).name;
            char word[64];
            snprintf(word, sizeof word, "%.*s", (int)name.length, name.at);
            check_width(&bench, word, width, 3);
        }
    }
    bench_end(&bench);
}

/* ---- slack, by hand ---- */

/* Mondays to Fridays 08:00-12:00 and 12:30-16:30, two layers, one miller, one mill; people give
 * 80 % of the day to the work. The mill runs b's block 08:00-09:15 and a's 09:15-11:15; both layers
 * lay up b 09:15-10:56 and a 11:15-14:45, lunch in between; Tuesday from 08:00 they take a off in
 * 1.25 h, then b in 1.25 h, then one polishes b for 1.25 h: that ends last.
 * Heavy on a (3 h, in one go) may end at closing time, so begin at 13:30: 2.25 h later. The block of
 * a then may end at 13:30, so begin at 11:00: 1.75 h later. Heavy on b (1.6875 h) must be done when
 * the layers go over to a, 13:30, so begin 11:18:45: 2.0625 h later. The block of b must leave the
 * mill at 11:00: 1.75 h later. On Tuesday everything goes from hand to hand. */
static const struct hand_row {
    const char *name;
    double slack_h;
    bool sets_date;
} by_hand[] = {
    {"a.block", 1.75, true}, {"a.heavy", 2.25, true},    {"a.demould", 0.0, true},
    {"b.block", 1.75, true}, {"b.heavy", 2.0625, false}, {"b.demould", 0.0, true},
    {"b.polish", 0.0, true},
};

static void test_slack_by_hand(void **state)
{
    const struct hand_row *row = *state;
    char formula[64];
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    snprintf(formula, sizeof formula, "%s.slack", row->name);
    assert_close(bench_value(&bench, formula), row->slack_h * 3600.0, 0.01);
    snprintf(formula, sizeof formula, "%s.sets_date", row->name);
    assert_close(bench_value(&bench, formula), row->sets_date ? 1.0 : 0.0, 0.0);
    bench_end(&bench);
}

/* Whether a chain may begin at a moment: at the beginning of the job, or where promised work ends. */
static bool starts_free(const mw_job *job, double start_s)
{
    uint32_t count = 0;
    const mw_plan_promise *list = mw_job_promised(job, &count);
    bool free = start_s < mw_job_sessions(job, &(uint32_t){0})->start_s + 1.0;
    for (uint32_t i = 0; i < count; i++) {
        const mw_calendar *shift = mw_job_resource(job, list[i].resource).shift;
        const double open_s = mw_calendar_open(shift, list[i].until_s);
        free = free || (start_s >= list[i].until_s && start_s < open_s + 1.0);
    }
    return free;
}

/* Something sets the date, and what ends last has no slack. */
static void test_last_has_none(void **state)
{
    const job_row *row = *state;
    job_bench bench;
    open_row(&bench, row);
    uint32_t count = 0;
    const mw_session *list = mw_job_sessions(bench.job, &count);
    const mw_session *last = list;
    double first_s = (double)INFINITY;
    for (uint32_t i = 0; i < count; i++) {
        last = list[i].wait_until_s > last->wait_until_s ? &list[i] : last;
        first_s = list[i].sets_date ? fmin(first_s, list[i].start_s) : first_s;
        assert_true(mw_job_value(bench.job, list[i].mould, list[i].step, "slack") >= 0.0);
    }
    assert_true(last->sets_date);
    assert_true(starts_free(bench.job, first_s));
    assert_close(mw_job_value(bench.job, last->mould, last->step, "slack"), 0.0, 0.01);
    bench_end(&bench);
}

/* ---- due dates ---- */

/* a is taken off on Tuesday 09:15 (see above). Where b alone is due, the plan that ends no later and has b polished
 * first is taken: both take it off until 09:15, one polishes until 10:30, then a. A date is its whole day. */
static const struct due_row {
    const char *name;
    const char *change;
    const char *formula;
    double late_h;
} dues[] = {
    {"no date", "a.urgency = 2", "a.late", 0.0},
    {"the day before", "a.due = 2027-01-04", "a.late", 9.25},
    {"the day itself", "a.due = 2027-01-05", "a.late", 0.0},
    {"a moment of that day", "a.due = 2027-01-05T09:00", "a.late", 0.25},
    {"the last moment", "a.due = 2027-01-05T09:15", "a.late", 0.0},
    {"by a formula", "b.due = job.start - 3 d", "b.late", 3 * 24 + 10.5},
};

static void test_due(void **state)
{
    const struct due_row *row = *state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench_say(&bench, row->change), MW_OK);
    assert_close(bench_value(&bench, row->formula), row->late_h * 3600.0, 0.01);
    bench_end(&bench);
}

/* Two moulds alike: the more urgent one is ready first, whichever stands first in the job. */
static void test_urgency(void **state)
{
    (void)state;
    for (int first = 0; first < 2; first++) {
        job_bench bench;
        bench_start(&bench, NULL);
        bench_say_all(&bench, "shop \"yard\"\nstart 2027-01-04\n"
                              "mould c: area 1 m2, recipe \"simple\", due 2027-01-04\n"
                              "mould d: area 1 m2, recipe \"simple\", due 2027-01-04");
        bench_say_all(&bench, first ? "d.urgency = 5" : "c.urgency = 5");
        const double c_s = bench_value(&bench, "c.ready");
        const double d_s = bench_value(&bench, "d.ready");
        assert_true(first ? d_s < c_s : c_s < d_s);
        bench_end(&bench);
    }
}

/* ---- work that is done ---- */

/* On Tuesday 5 January 08:00, the 6th is a holiday. Heavy on a ended Monday 14:00 and waits ten hours, so that
 * demould (2 h by two people, 80 % of the day: 1.25 h) ends at 09:15. Of b's block one half is left: one
 * hour of one person, 0.625 h. */
static void test_done(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    bench_say_all(&bench, "job.status = 2027-01-05\na.block.done = 100 %\na.heavy.done = 100 %\n"
                          "a.heavy.ended = 2027-01-04T14:00\nb.block.done = 50 %");
    const double monday_s = 1799020800.0; /* 2027-01-04 */
    assert_close(bench_value(&bench, "a.heavy.end"), monday_s + 14 * 3600.0, 0.01);
    assert_close(bench_value(&bench, "a.ready"), monday_s + MW_DAY_S + 9.25 * 3600.0, 0.01);
    assert_close(bench_value(&bench, "b.block.end"), monday_s + MW_DAY_S + 8.625 * 3600.0, 0.01);
    assert_close(bench_value(&bench, "a.hours"), 7.8 * 3600.0, 1e-6); /* of the whole */
    assert_int_equal(bench_say(&bench, "b.block.done = 110 %"), MW_FAILED);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "use and calendar", jobs, test_use_and_calendar);
    test_add_rows(&list, "use and hours", jobs, test_use_and_hours);
    test_add_rows(&list, "days", jobs, test_days);
    test_add_rows(&list, "widths", jobs, test_timeline_widths);
    test_add_rows(&list, "slack by hand", by_hand, test_slack_by_hand);
    test_add_rows(&list, "the last", jobs, test_last_has_none);
    test_add_rows(&list, "due", dues, test_due);
    test_add(&list, test_urgency);
    test_add(&list, test_done);
    return test_run(&list, "report: plan");
}
