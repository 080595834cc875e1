/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Twenty sessions in which each call to the system, or each allocation, fails once and from then on: what was answered
 * is in the job, what was refused is not, the job file is whole, and what is cut off after it comes back. */
#include "session_bench.h"

typedef struct script_row {
    const char *name;
    const char *lines[8];
} script_row;

static const script_row scripts[] = {
    {"an override", {"a.heavy.plies = usual + 1"}},
    {"an override twice", {"a.heavy.plies = 6", "a.heavy.plies = 7"}},
    {"in every mould", {"moulds.heavy.plies = 5", "restore moulds.heavy.plies"}},
    {"a line", {"budget = 2500 EUR", "other = budget / 2"}},
    {"a line over two", {"other = (1 +\n2)"}},
    {"a line dropped", {"drop spare", "undo"}},
    {"a mould", {"mould c: area 2 m2, recipe \"simple\"", "c.heavy.plies = 3"}},
    {"a mould dropped", {"drop spare", "drop b"}},
    {"a mould copied", {"copy mould a as d: area 3 m2"}},
    {"the start", {"start 2027-02-01", "undo", "redo"}},
    {"a file", {"include \"more.inc\"", "undo"}},
    {"a list", {"moulds from \"good.csv\"", "drop c"}},
    {"the shop", {"shop.margin = 5 %"}},
    {"a material", {"a.heavy.resin_material = \"fast resin\""}},
    {"what is refused", {"a.heavy.plies = 4 kg", "a.area = -4 m2"}},
    {"saved", {"other = 1 kg", "save"}},
    {"saved twice", {"other = 1 kg", "save", "drop other", "save"}},
    {"saved and undone", {"other = 1 kg", "save", "undo", "redo"}},
    {"back to the file", {"other = 1 kg", "revert", "undo"}},
    {"only asked", {"budget * 2", "a.cost"}},
};

typedef struct failing {
    const script_row *row;
    session_bench bench;
    bool lost; /* something failed for want of memory */
} failing;

/* The job cut off now comes back as it is: into another state folder's session. */
static void check_back(failing *on)
{
    mw_text want = {0};
    mw_text got = {0};
    mw_text said = {0};
    session_reports(&on->bench.program, &want);
    session_close(&on->bench, false);
    assert_int_equal(session_open(&on->bench, false), MW_OK);
    mw_status status = session_recover(&on->bench.program, "recover", &said);
    assert_true(status == MW_OK || status == MW_FAILED);
    session_reports(&on->bench.program, &got);
    assert_string_equal(mw_text_chars(&got), mw_text_chars(&want));
    mw_text_free(&want);
    mw_text_free(&got);
    mw_text_free(&said);
}

/* Says the lines while things fail; a line that is refused changes nothing. */
static void say_lines(failing *on)
{
    cli *program = &on->bench.program;
    for (size_t i = 0; i < 8 && on->row->lines[i]; i++) {
        mw_status status = session_say(program, on->row->lines[i]);
        on->lost = on->lost || status == MW_NO_MEMORY || program->diags.no_memory;
    }
}

/* ---- memory ---- */

/* A plan for which there was no memory has no value until it is made again: by a change that builds all anew. */
static void settle(failing *on)
{
    assert_int_equal(session_say(&on->bench.program, "start 2027-03-01"), MW_OK);
    assert_int_equal(session_say(&on->bench.program, "undo"), MW_OK);
}

static bool is_long(void)
{
    const char *wanted = getenv("LONG");
    return wanted && strcmp(wanted, "1") == 0;
}

static void memory_fails(void **state)
{
    failing on = {.row = *state};
    session_folder(&on.bench);
    assert_int_equal(session_open(&on.bench, true), MW_OK);
    size_t step = is_long() ? 1 : 401;
    for (int way = 0; way < 2; way++) {
        bool hit = true;
        for (size_t n = 0; hit && n < 100000; n += step) {
            support_fail_allocation(n, way == 1);
            on.lost = false;
            say_lines(&on);
            hit = support_fail_never();
            settle(&on);
            check_back(&on);
            session_close(&on.bench, true);
            support_folder_remove(on.bench.folder);
            session_folder(&on.bench);
            assert_int_equal(session_open(&on.bench, true), MW_OK);
        }
    }
    session_end(&on.bench);
}

/* ---- calls ---- */

static const support_call calls[] = {SUPPORT_OPEN,   SUPPORT_READ,     SUPPORT_WRITE,
                                     SUPPORT_FSYNC,  SUPPORT_CLOSE,    SUPPORT_RENAME,
                                     SUPPORT_UNLINK, SUPPORT_FTRUNCATE};
static const int errors[] = {ENOSPC, EIO, EINTR, EACCES};

/* One session in which the n-th such call fails; returns whether one did. */
static bool fail_one(const script_row *row, support_call call, size_t n, int error, bool on_and_on)
{
    failing on = {.row = row};
    session_folder(&on.bench);
    assert_int_equal(session_open(&on.bench, true), MW_OK);
    if (on_and_on) {
        support_fail_calls(call, n, error);
    } else {
        support_fail_call(call, n, error);
    }
    say_lines(&on);
    bool hit = support_calls_failed() > 0;
    support_fail_never();
    check_back(&on);
    session_end(&on.bench);
    return hit;
}

/* With LONG=1 each error for each call, else one error a call. */
static void calls_fail(void **state)
{
    const script_row *row = *state;
    size_t points = 0;
    size_t kinds = sizeof errors / sizeof *errors;
    for (size_t i = 0; i < kinds * sizeof calls / sizeof *calls; i++) {
        support_call call = calls[i / kinds];
        int error = errors[i % kinds];
        bool taken = is_long() || (i / kinds + (size_t)(row - scripts)) % kinds == i % kinds;
        bool hit = taken;
        for (size_t n = 0; hit && n < 200; n += is_long() ? 1 : 3) {
            hit = fail_one(row, call, n, error, false);
            points += hit;
            if (hit && error != EINTR) { /* for ever interrupted would be for ever */
                points += fail_one(row, call, n, error, true);
            }
        }
    }
    print_message("%zu calls failed\n", points);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "no memory", scripts, memory_fails);
    test_add_rows(&list, "calls fail", scripts, calls_fail);
    return test_run(&list, "cli: faults");
}
