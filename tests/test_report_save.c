/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Saving: the file as a person would have changed it by hand, and nothing lost whatever fails. The files after were
 * written by hand; no outside source. */
#include "job_bench.h"

#include <errno.h>
#include <stdlib.h>
#include <unistd.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"
#include "mouldwright/report.h"

#define HEAD "shop \"yard\"\nstart 2027-01-04\n"
#define A    "mould a: area 4 m2, edge 8 m, recipe \"simple\"\n"
#define B    "mould b: area 1 m2, recipe \"simple more\"\n"

static char folder[256];
static char job_path[300];

static void write_file(const char *name, const char *text, size_t length)
{
    char path[320];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *out = fopen(path, "wb");
    assert_non_null(out);
    assert_int_equal(fwrite(text, 1, length, out), length);
    assert_int_equal(fclose(out), 0);
}

static void start(job_bench *bench, const char *text)
{
    snprintf(folder, sizeof folder, "%s", support_folder());
    snprintf(job_path, sizeof job_path, "%s/x.job", folder);
    write_file("x.job", text, strlen(text));
    static const char more[] = "more = 5 EUR\nrim_all = 2 m\n";
    write_file("more.inc", more, strlen(more));
    static const char list[] = "name,area [m2],recipe\np,2,simple\nq,3,simple\n";
    write_file("list.csv", list, strlen(list));
    bench_start(bench, job_path);
    if (bench->status != MW_OK) {
        fail_msg("cannot open: %s", bench->diags.items[0].message);
    }
}

static void end(job_bench *bench)
{
    bench_end(bench);
    support_folder_remove(folder);
}

static mw_status save(job_bench *bench, mw_save_mode mode)
{
    mw_save_reply reply;
    bench_clear(bench);
    return mw_job_save(bench->job, NULL, mode, &reply, &bench->diags);
}

static void assert_file(const char *want)
{
    char *data = NULL;
    size_t length = 0;
    assert_int_equal(mw_file_read(job_path, 1000000, &data, &length), MW_OK);
    assert_string_equal(data, want);
    mw_memory_give(data);
}

/* ---- reports before and after ---- */

static void all_reports(mw_job *job, mw_text *out)
{
    static const char *const words[] = {"moulds", "takeoff", "hours",   "waits",    "calendar",
                                        "cost",   "buying",  "pricing", "cautions", "lines"};
    mw_style style = {.width = 80, .json = true};
    mw_diags diags;
    assert_int_equal(mw_diags_start(&diags), MW_OK);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        mw_request request = {.word = mw_str_of(words[i]), .style = &style};
        mw_status status = i < 9 ? mw_report(job, &request, out, &diags)
                                 : mw_report_list(job, &request, out, &diags);
        mw_text_addf(out, "[%d]\n", (int)status);
        mw_diags_clear(&diags);
    }
    mw_diags_free(&diags);
    assert_false(out->failed);
}

/* The saved job, opened anew, gives the same bytes of every report. */
static void assert_reopened(job_bench *bench)
{
    mw_text here = {0};
    mw_text there = {0};
    job_bench again;
    all_reports(bench->job, &here);
    bench_start(&again, job_path);
    if (again.status != MW_OK) {
        fail_msg("the saved job cannot be opened: %s", again.diags.items[0].message);
    }
    all_reports(again.job, &there);
    if (strcmp(mw_text_chars(&here), mw_text_chars(&there)) != 0) {
        char *data = NULL;
        size_t length = 0;
        assert_int_equal(mw_file_read(job_path, 1000000, &data, &length), MW_OK);
        fprintf(stderr, "the file:\n%s\nhere:\n%s\nreopened:\n%s\n", data, mw_text_chars(&here),
                mw_text_chars(&there));
        fail();
    }
    bench_end(&again);
    mw_text_free(&here);
    mw_text_free(&there);
}

/* ---- rows ---- */

typedef struct save_row {
    const char *name;
    const char *before;
    const char *say; /* one a line; `undo` is a step back, `save` saves between */
    const char *after;
} save_row;

static const save_row rows[] = {
    {"nothing", HEAD A "\n# end\n", "a.cost", HEAD A "\n# end\n"},
    {"a value; its remark stays", HEAD A "x =  3 m   # three\n", "x = 4 m",
     HEAD A "x =  4 m   # three\n"},
    {"a value with a new remark", HEAD A "x = 3 m  # three\n", "x = 4 m # four",
     HEAD A "x = 4 m # four\n"},
    {"a value over lines", HEAD A "x = sum([1 m,\n  2 m]) # s\ny = 1\n", "x = 4 m",
     HEAD A "x = 4 m # s\ny = 1\n"},
    {"CR LF",
     "shop \"yard\"\r\n"
     "start 2027-01-04\r\nx = 1\r\n",
     "x = 2\ny = 3",
     "shop \"yard\"\r\n"
     "start 2027-01-04\r\nx = 2\r\ny = 3\r\n"},
    {"no last line end", HEAD "x = 1", "x = 2", HEAD "x = 2"},
    {"a line behind no last line end", HEAD "x = 1", "y = 2", HEAD "x = 1\ny = 2"},
    {"the last line gone, without end", HEAD "x = 1\ny = 2", "drop y", HEAD "x = 1"},
    {"byte order mark", "\xef\xbb\xbfx = 1\n" HEAD, "x = 2", "\xef\xbb\xbfx = 2\n" HEAD},
    {"byte order mark, first line gone", "\xef\xbb\xbfx = 1\n" HEAD, "drop x", "\xef\xbb\xbf" HEAD},
    {"a line behind the others", HEAD "x = 1\n\n" A, "y = 2", HEAD "x = 1\ny = 2\n\n" A},
    {"the first line of its kind", HEAD "\n" A, "y = 2", HEAD "\n" A "\ny = 2\n"},
    {"a mould behind the last", HEAD A "\nx = 1\n", "mould c: area 2 m2, recipe \"simple\"",
     HEAD A "mould c: area 2 m2, recipe \"simple\"\n\nx = 1\n"},
    {"an override behind its mould", HEAD A B "x = 1\n", "a.heavy.plies = 5",
     HEAD A "a.heavy.plies = 5\n" B "x = 1\n"},
    {"an override behind those of its mould", HEAD A B "a.heavy.plies = 5\nb.area = 2 m2\n",
     "a.edge = 9 m", HEAD A B "a.heavy.plies = 5\na.edge = 9 m\nb.area = 2 m2\n"},
    {"an override of all", HEAD A "\nx = 1\n", "moulds.heavy.plies = 5",
     HEAD A "\nmoulds.heavy.plies = 5\n\nx = 1\n"},
    {"an override restored", HEAD A "a.heavy.plies = 5 # five\nx = 1\n", "restore a.heavy.plies",
     HEAD A "x = 1\n"},
    {"a mould dropped", HEAD A B "x = 1\n", "drop b", HEAD A "x = 1\n"},
    {"one value of a mould", HEAD "mould a: area 4 m2, \\\n   edge 8 m, recipe \"simple\" # a\n",
     "mould a: area 4 m2, edge 9 m, recipe \"simple\"",
     HEAD "mould a: area 4 m2, \\\n   edge 9 m, recipe \"simple\" # a\n"},
    {"a mould with another input", HEAD A, "mould a: area 4 m2, recipe \"simple\"",
     HEAD "mould a: area 4 m2, recipe \"simple\"\n"},
    {"the start", HEAD A, "start 2027-02-01", "shop \"yard\"\nstart 2027-02-01\n" A},
    {"the first start", "# job\nshop \"yard\"\n" A, "start 2027-02-01",
     "# job\nshop \"yard\"\nstart 2027-02-01\n" A},
    {"dropped and undone", HEAD "x = 1\ny = 2\nz = 3\n", "drop y\nsave\nundo",
     HEAD "x = 1\ny = 2\nz = 3\n"},
    {"a mould dropped and undone", HEAD A B, "drop a\nsave\nundo", HEAD A B},
    {"set, saved and undone", HEAD "x = 1 # one\n", "x = 2\nsave\nundo", HEAD "x = 1 # one\n"},
    {"an included line", HEAD "include \"more.inc\"\nx = 1\n", "more = 6 EUR",
     HEAD "include \"more.inc\"\nx = 1\nmore = 6 EUR\n"},
    {"an included line dropped", HEAD "include \"more.inc\"\nx = 1\n", "drop more",
     HEAD "include \"more.inc\"\ndrop more\nx = 1\n"},
    {"and undone", HEAD "include \"more.inc\"\nx = 1\n", "drop more\nsave\nundo",
     HEAD "include \"more.inc\"\nx = 1\n"},
    {"an include", HEAD "x = 1\n", "include \"more.inc\"", HEAD "include \"more.inc\"\nx = 1\n"},
    {"an include that says a line of ours", HEAD "x = 1\nmore = 1 EUR\n", "include \"more.inc\"",
     HEAD "include \"more.inc\"\nx = 1\n"},
    {"a list of moulds", HEAD A "x = 1\n", "moulds from \"list.csv\"",
     HEAD A "moulds from \"list.csv\"\nx = 1\n"},
    {"a mould of a list replaced", HEAD "moulds from \"list.csv\"\n" A,
     "mould p: area 9 m2, recipe \"simple\"",
     HEAD "moulds from \"list.csv\"\n" A "mould p: area 9 m2, recipe \"simple\"\n"},
    {"a mould of a list dropped", HEAD "moulds from \"list.csv\"\n" A, "drop q",
     HEAD "moulds from \"list.csv\"\ndrop q\n" A},
    {"a list read again", HEAD "moulds from \"list.csv\"\n" A, "moulds from \"list.csv\"",
     HEAD "moulds from \"list.csv\"\n" A},
    {"a material", HEAD A, "a.heavy.resin_material = \"fast resin\"",
     HEAD A "a.heavy.resin_material = \"fast resin\"\n"},
};

static void say_rows(job_bench *bench, const char *say)
{
    for (const char *at = say; *at;) {
        size_t length = strcspn(at, "\n");
        char line[256];
        snprintf(line, sizeof line, "%.*s", (int)length, at);
        mw_status status = strcmp(line, "save") == 0 ? save(bench, MW_SAVE_PLAIN)
                           : strcmp(line, "undo") == 0
                               ? mw_job_undo(bench->job, &bench->reply, &bench->diags)
                               : bench_say(bench, line);
        if (status != MW_OK) {
            fail_msg("`%s` failed: %s", line, bench->diags.items[0].message);
        }
        at += length + (at[length] == '\n');
    }
}

static void saved_row(void **state)
{
    const save_row *row = *state;
    job_bench bench;
    start(&bench, row->before);
    say_rows(&bench, row->say);
    assert_int_equal(save(&bench, MW_SAVE_PLAIN), MW_OK);
    assert_file(row->after);
    assert_reopened(&bench);
    const mw_unsaved *list;
    uint32_t count = 9;
    assert_int_equal(mw_job_unsaved(bench.job, &list, &count), MW_OK);
    assert_int_equal(count, 0);
    end(&bench);
}

/* ---- somebody else ---- */

static void changed_meanwhile(void **state)
{
    (void)state;
    job_bench bench;
    start(&bench, HEAD A "x = 1\ny = 2\n");
    assert_int_equal(bench_say(&bench, "x = 5"), MW_OK);
    static const char theirs[] = HEAD A "x = 1\ny = 7 # seven\nz = 3\n";
    write_file("x.job", theirs, strlen(theirs));
    assert_int_equal(save(&bench, MW_SAVE_PLAIN), MW_FAILED);
    assert_int_equal(bench.diags.items[0].code, MW_CODE_CHANGED_MEANWHILE);
    assert_string_equal(bench.diags.items[0].extra, "  - y = 2\n  + y = 7 # seven\n  + z = 3");
    assert_file(theirs);
    assert_int_equal(save(&bench, MW_SAVE_BOTH), MW_OK);
    assert_file(HEAD A "x = 5\ny = 7 # seven\nz = 3\n");
    assert_close(bench_value(&bench, "y + z"), 10.0, 0.0);
    assert_reopened(&bench);
    end(&bench);
}

static void both_changed_the_same(void **state)
{
    (void)state;
    job_bench bench;
    start(&bench, HEAD "x = 1\n");
    assert_int_equal(bench_say(&bench, "x = 5"), MW_OK);
    static const char theirs[] = HEAD "x = 6\n";
    write_file("x.job", theirs, strlen(theirs));
    assert_int_equal(save(&bench, MW_SAVE_BOTH), MW_FAILED);
    assert_int_equal(bench.diags.items[0].code, MW_CODE_CHANGED_MEANWHILE);
    assert_file(theirs);
    assert_int_equal(save(&bench, MW_SAVE_OVER), MW_OK);
    assert_file(HEAD "x = 5\n");
    end(&bench);
}

static void reverted(void **state)
{
    (void)state;
    job_bench bench;
    start(&bench, HEAD "x = 1\n");
    assert_int_equal(bench_say(&bench, "x = 5"), MW_OK);
    assert_int_equal(mw_job_revert(bench.job, &bench.reply, &bench.diags), MW_OK);
    assert_close(bench_value(&bench, "x"), 1.0, 0.0);
    assert_int_equal(mw_job_undo(bench.job, &bench.reply, &bench.diags), MW_OK);
    assert_close(bench_value(&bench, "x"), 5.0, 0.0);
    end(&bench);
}

/* ---- what the system refuses ---- */

static void every_call_fails(void **state)
{
    (void)state;
    static const int errors[] = {ENOSPC, EIO, EACCES};
    uint32_t failed = 0;
    for (int call = 0; call < SUPPORT_CALL_COUNT; call++) {
        for (size_t n = 0; n < 4; n++) {
            job_bench bench;
            start(&bench, HEAD "x = 1\n");
            assert_int_equal(bench_say(&bench, "x = 5"), MW_OK);
            support_fail_call((support_call)call, n, errors[n % 3]);
            mw_status status = save(&bench, MW_SAVE_PLAIN);
            support_fail_never();
            failed += status != MW_OK;
            if (status == MW_OK) {
                assert_file(HEAD "x = 5\n");
            } else {
                assert_true(bench.diags.count > 0);
                assert_int_equal(save(&bench, MW_SAVE_OVER), MW_OK);
                assert_file(HEAD "x = 5\n");
            }
            end(&bench);
        }
    }
    assert_true(failed >= 6);
}

typedef struct without_memory {
    job_bench bench;
} without_memory;

static support_outcome save_once(void *context)
{
    without_memory *on = context;
    mw_save_reply reply;
    bench_clear(&on->bench);
    mw_status status = mw_job_save(on->bench.job, NULL, MW_SAVE_OVER, &reply, &on->bench.diags);
    bool lost = status == MW_NO_MEMORY || on->bench.diags.no_memory;
    support_fail_never();
    if (lost) {
        assert_false(reply.written);
        assert_file(HEAD "x = 1\n");
    }
    return lost ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

static void every_allocation_fails(void **state)
{
    (void)state;
    without_memory on;
    start(&on.bench, HEAD "x = 1\n");
    assert_int_equal(bench_say(&on.bench, "x = 5"), MW_OK);
    for (size_t n = 0;; n++) {
        support_fail_allocation(n, false);
        if (save_once(&on) == SUPPORT_DONE) {
            break;
        }
        assert_true(n < 10000);
    }
    assert_file(HEAD "x = 5\n");
    end(&on.bench);
}

/* ---- random statements ---- */

static uint64_t next_random(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return *state >> 33;
}

static void random_statements(void **state)
{
    (void)state;
    static const char *const says[] = {"x = %u",
                                       "y = %u m  # y",
                                       "z = x + %u",
                                       "drop z",
                                       "drop y",
                                       "a.heavy.plies = %u",
                                       "restore a.heavy.plies",
                                       "moulds.heavy.plies = usual + %u",
                                       "restore moulds.heavy.plies",
                                       "mould c: area %u m2, recipe \"simple\"",
                                       "mould d: area 2 m2, edge %u m, recipe \"simple more\"",
                                       "drop c",
                                       "drop d",
                                       "c.area = %u m2",
                                       "drop more",
                                       "more = %u EUR",
                                       "moulds from \"list.csv\"",
                                       "drop p",
                                       "mould q: area %u m2, recipe \"simple\"",
                                       "drop q",
                                       "include \"more.inc\"",
                                       "undo",
                                       "undo",
                                       "save"};
    static const char *const files[] = {
        HEAD A B "\n# own\nx = 1 # one\ny = 2 m\n", "# top\n\n" A "x = 1\n" HEAD B,
        HEAD "include \"more.inc\"\nmoulds from \"list.csv\"\nx = 1\n" A};
    uint64_t seed = 20270104;
    print_message("seed %llu\n", (unsigned long long)seed);
    for (int round = 0; round < 60; round++) {
        job_bench bench;
        start(&bench, files[round % 3]);
        for (int i = 0; i < 25; i++) {
            size_t at = next_random(&seed) % (sizeof says / sizeof *says);
            char line[256];
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
            snprintf(line, sizeof line, says[at], (unsigned)(1 + next_random(&seed) % 6));
#pragma GCC diagnostic pop
            if (strcmp(line, "save") == 0) {
                assert_int_equal(save(&bench, MW_SAVE_PLAIN), MW_OK);
            } else if (strcmp(line, "undo") == 0) {
                bench.status = mw_job_undo(bench.job, &bench.reply, &bench.diags);
            } else {
                bench.status = bench_say(&bench, line); /* some are refused */
            }
        }
        if (save(&bench, MW_SAVE_PLAIN) != MW_OK) {
            fail_msg("round %d: %s", round, bench.diags.items[0].message);
        }
        assert_reopened(&bench);
        end(&bench);
    }
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "saved", rows, saved_row);
    test_add(&list, changed_meanwhile);
    test_add(&list, both_changed_the_same);
    test_add(&list, reverted);
    test_add(&list, every_call_fails);
    test_add(&list, every_allocation_fails);
    test_add(&list, random_statements);
    return test_run(&list, "report_save");
}
