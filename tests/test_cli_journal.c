/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The journal: its records, what is found in a damaged one, and that a session which was cut off anywhere comes back as it
 * was. */
#include "session_bench.h"

#include <fcntl.h>
#include <sys/stat.h>

#include "mouldwright/checksum.h"

/* ---- check sums ---- */

static void published_sums(void **state)
{
    (void)state;
    /* G. Cook, Catalogue of parametrised CRC algorithms, CRC-32/ISO-HDLC: check value over "123456789" (from memory) */
    assert_int_equal(mw_crc32(0, mw_str_of("123456789")), 0xCBF43926);
    assert_int_equal(mw_crc32(mw_crc32(0, mw_str_of("1234")), mw_str_of("56789")), 0xCBF43926);
    /* FNV-1a, 64 bits: test vectors of the authors' reference (from memory) */
    assert_true(mw_hash64(mw_str_of("")) == UINT64_C(0xcbf29ce484222325));
    assert_true(mw_hash64(mw_str_of("a")) == UINT64_C(0xaf63dc4c8601ec8c));
    assert_true(mw_hash64(mw_str_of("foobar")) == UINT64_C(0x85944171f73967e8));
}

/* ---- records ---- */

typedef struct words_row {
    const char *name;
    record_kind kind;
    const char *words;
} words_row;

static const words_row words_rows[] = {
    {"a statement", RECORD_SAY, "a.heavy.plies = 6"},
    {"several lines", RECORD_SAY, "x = (1 +\n2)"},
    {"no words", RECORD_UNDO, ""},
    {"what looks like a record", RECORD_SAY, "say 3 00000000\nabc\n"},
    {"a text that ends in a line end", RECORD_TEXT, "shop \"yard\"\n"},
};

static void there_and_back(void **state)
{
    const words_row *row = *state;
    mw_text bytes = {0};
    record_write(row->kind, mw_str_of(row->words), &bytes);
    record_write(RECORD_REDO, (mw_str){0}, &bytes);
    size_t at = 0;
    record one;
    mw_str all = {bytes.data, bytes.length};
    assert_true(record_read(all, &at, &one));
    assert_int_equal(one.kind, row->kind);
    assert_true(mw_str_is(one.words, row->words));
    size_t first = at;
    assert_true(record_read(all, &at, &one) && one.kind == RECORD_REDO);
    assert_int_equal(at, all.length);
    /* Cut anywhere, or one bit changed anywhere, the first is no record. */
    for (size_t i = 0; i < first; i++) {
        at = 0;
        assert_false(record_read((mw_str){all.at, i}, &at, &one));
        for (int bit = 0; bit < 8; bit++) {
            bytes.data[i] = (char)(bytes.data[i] ^ 1 << bit);
            at = 0;
            assert_false(record_read(all, &at, &one));
            bytes.data[i] = (char)(bytes.data[i] ^ 1 << bit);
        }
    }
    mw_text_free(&bytes);
}

typedef struct look_row {
    const char *name;
    const char *
        kinds; /* s u r t v (revert) w (saving) d (saved), in this order; j the job; ! a damaged byte */
    bool some;
    size_t count;
    bool damaged;
} look_row;

static const look_row look_rows[] = {
    {"nothing at all", "", false, 0, false},
    {"only the job", "j", false, 0, false},
    {"two changes", "jss", true, 2, false},
    {"one taken back", "jssu", true, 1, false},
    {"all taken back", "jsu", false, 0, false},
    {"made again", "jsur", true, 1, false},
    {"saved since", "jsswd", false, 0, false},
    {"a change after a save", "jsswds", true, 1, false},
    {"a save of which nothing more is known", "jssw", true, 2, false},
    {"back to the file", "jssv", false, 0, false},
    {"back to the file, taken back", "jssvu", true, 2, false},
    {"a whole text", "jt", true, 1, false},
    {"a damaged end", "js!", true, 1, true},
    {"no head", "s", true, 0, true},
};

static void write_kinds(const char *kinds, mw_text *out)
{
    for (; *kinds; kinds++) {
        switch (*kinds) {
        case 'j':
            record_write(RECORD_JOB, mw_str_of("/x.job\nabc\n1\n0\n/\n"), out);
            break;
        case 's':
            record_write(RECORD_SAY, mw_str_of("x = 1"), out);
            break;
        case 'u':
            record_write(RECORD_UNDO, (mw_str){0}, out);
            break;
        case 'r':
            record_write(RECORD_REDO, (mw_str){0}, out);
            break;
        case 't':
            record_write(RECORD_TEXT, mw_str_of("x = 1\n"), out);
            break;
        case 'v':
            record_write(RECORD_REVERT, mw_str_of("abc"), out);
            break;
        case 'w':
            record_write(RECORD_SAVING, mw_str_of("/x.job\ndef"), out);
            break;
        case 'd':
            record_write(RECORD_SAVED, (mw_str){0}, out);
            break;
        default:
            mw_text_addc(out, *kinds);
        }
    }
}

static void looked_at(void **state)
{
    const look_row *row = *state;
    mw_text bytes = {0};
    left_journal left = {0};
    write_kinds(row->kinds, &bytes);
    mw_str all = {mw_text_chars(&bytes), bytes.length};
    assert_int_equal(journal_look(all, 0, &left), row->some);
    assert_int_equal(left.count, row->count);
    assert_int_equal(left.damaged, row->damaged);
    mw_text_free(&bytes);
}

/* ---- sessions that are cut off ---- */

static const char *const sayings[] = {
    "a.heavy.plies = usual + 1",
    "moulds.heavy.plies = 5",
    "restore a.heavy.plies",
    "budget = 2500 EUR",
    "drop spare",
    "other = 1 kg",
    "other = 2 kg # said again",
    "sum_of_it = (1 +\n2)",
    "maybe = 7 h",
    "mould c: area 2 m2, recipe \"simple\"",
    "drop b",
    "copy mould a as d: area 3 m2",
    "start 2027-02-01",
    "include \"more.inc\"",
    "moulds from \"good.csv\"",
    "shop.margin = 5 %",
    "a.heavy.resin_material = \"fast resin\"",
    "a.heavy.plies = 4 kg",
    "a.area = -4 m2",
    "budget * 2",
    "undo",
    "undo",
    "undo",
    "redo",
    "redo",
    "save",
    "revert",
};

typedef struct seed_row {
    const char *name;
    uint64_t seed;
    int lines;
} seed_row;

static const seed_row seeds[] = {
    {"1", 1, 24}, {"2", 2, 24}, {"3", 3, 24}, {"4", 4, 24}, {"5", 5, 24},
};

/* With LONG=1 in the environment a session is ten times as long. */
static int lines_of(const seed_row *row)
{
    const char *wanted = getenv("LONG");
    return wanted && strcmp(wanted, "1") == 0 ? row->lines * 10 : row->lines;
}

static uint64_t next_random(uint64_t *seed)
{
    *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return *seed >> 33;
}

/* Copies the one journal that there may be from one state folder to another. */
static mw_status copy_journal(void *context, const char *path, mw_str name)
{
    const char *to = context;
    char *data = NULL;
    size_t length = 0;
    char target[512];
    assert_int_equal(mw_file_read(path, 1 << 24, &data, &length), MW_OK);
    snprintf(target, sizeof target, "%s/%.*s", to, (int)name.length, name.at);
    assert_int_equal(mw_file_replace(target, (mw_str){data, length}), MW_OK);
    mw_memory_give(data);
    return MW_OK;
}

/* What a session would find if the other one had been cut off now: its reports are the same. */
static void check_cut(session_bench *live)
{
    session_bench after = *live;
    mw_text want = {0};
    mw_text got = {0};
    mw_text said = {0};
    char from[256];
    char to[256];
    snprintf(after.state, sizeof after.state, "%s/after", live->folder);
    snprintf(from, sizeof from, "%s/mouldwright/journal", live->state);
    snprintf(to, sizeof to, "%s/mouldwright/journal", after.state);
    char deep[600];
    snprintf(deep, sizeof deep, "mkdir -p %s && rm -f %s/*", to, to);
    assert_int_equal(system(deep), 0);
    assert_int_equal(mw_folder_each(from, ".journal", copy_journal, to), MW_OK);
    assert_int_equal(setenv("XDG_STATE_HOME", after.state, 1), 0);
    assert_int_equal(session_open(&after, true), MW_OK);
    const mw_unsaved *list;
    uint32_t unsaved = 0;
    assert_int_equal(mw_job_unsaved(live->program.job, &list, &unsaved), MW_OK);
    mw_status status = session_recover(&after.program, "recover", &said);
    if (status != MW_OK && unsaved > 0) {
        fail_msg("%u changes are lost: %s", unsaved, after.program.diags.items[0].message);
    }
    session_reports(&live->program, &want);
    session_reports(&after.program, &got);
    assert_string_equal(mw_text_chars(&got), mw_text_chars(&want));
    session_close(&after, true);
    assert_int_equal(setenv("XDG_STATE_HOME", live->state, 1), 0);
    mw_text_free(&want);
    mw_text_free(&got);
    mw_text_free(&said);
}

static void cut_anywhere(void **state)
{
    const seed_row *row = *state;
    session_bench bench;
    uint64_t seed = row->seed;
    session_folder(&bench);
    assert_int_equal(session_open(&bench, true), MW_OK);
    int made = 0;
    for (int i = 0; i < lines_of(row); i++) {
        const char *line = sayings[next_random(&seed) % (sizeof sayings / sizeof *sayings)];
        made += session_say(&bench.program, line) == MW_OK;
        check_cut(&bench);
    }
    print_message("%d lines, %d accepted\n", lines_of(row), made);
    session_end(&bench);
}

/* Cut off, taken back, gone on, cut off, and so on: each session goes on in the journal of the one before. */
static void cut_again_and_again(void **state)
{
    const seed_row *row = *state;
    session_bench bench;
    uint64_t seed = row->seed + 1000;
    session_folder(&bench);
    assert_int_equal(session_open(&bench, true), MW_OK);
    for (int i = 0; i < lines_of(row); i++) {
        const char *line = sayings[next_random(&seed) % (sizeof sayings / sizeof *sayings)];
        mw_status status = session_say(&bench.program, line);
        assert_true(status == MW_OK || status == MW_FAILED);
        if (next_random(&seed) % 4 == 0) {
            mw_text want = {0};
            mw_text got = {0};
            mw_text said = {0};
            session_reports(&bench.program, &want);
            session_close(&bench, false);
            assert_int_equal(session_open(&bench, true), MW_OK);
            status = session_recover(&bench.program, "recover", &said);
            assert_true(status == MW_OK || status == MW_FAILED);
            session_reports(&bench.program, &got);
            assert_string_equal(mw_text_chars(&got), mw_text_chars(&want));
            mw_text_free(&want);
            mw_text_free(&got);
            mw_text_free(&said);
        }
    }
    session_end(&bench);
}

/* ---- what happens to the file ---- */

static size_t journals_of(const session_bench *bench, size_t *bytes)
{
    char command[300];
    char answer[64] = "";
    snprintf(command, sizeof command, "cat %s/mouldwright/journal/*.journal 2>/dev/null | wc -c",
             bench->state);
    FILE *in = popen(command, "r");
    assert_non_null(in);
    assert_non_null(fgets(answer, sizeof answer, in));
    pclose(in);
    *bytes = (size_t)strtoul(answer, NULL, 10);
    snprintf(command, sizeof command, "ls %s/mouldwright/journal 2>/dev/null | wc -l",
             bench->state);
    in = popen(command, "r");
    assert_non_null(in);
    assert_non_null(fgets(answer, sizeof answer, in));
    pclose(in);
    return (size_t)strtoul(answer, NULL, 10);
}

static void gone_after_a_save(void **state)
{
    (void)state;
    session_bench bench;
    size_t bytes = 0;
    session_folder(&bench);
    assert_int_equal(session_open(&bench, true), MW_OK);
    assert_int_equal(journals_of(&bench, &bytes), 0);
    assert_int_equal(session_say(&bench.program, "budget * 2"), MW_OK);
    assert_int_equal(journals_of(&bench, &bytes), 0);
    assert_int_equal(session_say(&bench.program, "other = 1 kg"), MW_OK);
    assert_int_equal(journals_of(&bench, &bytes), 1);
    struct stat is;
    assert_int_equal(stat(mw_text_chars(&bench.program.journal.path), &is), 0);
    assert_int_equal(is.st_mode & 0777, 0600);
    assert_int_equal(session_say(&bench.program, "save"), MW_OK);
    assert_int_equal(journals_of(&bench, &bytes), 0);
    assert_int_equal(session_say(&bench.program, "other = 2 kg"), MW_OK);
    session_close(&bench, true);
    assert_int_equal(journals_of(&bench, &bytes), 0);
    session_end(&bench);
}

/* A live session's journal is not offered to another one. */
static void not_of_a_live_session(void **state)
{
    (void)state;
    session_bench bench;
    session_folder(&bench);
    assert_int_equal(session_open(&bench, true), MW_OK);
    assert_int_equal(session_say(&bench.program, "other = 1 kg"), MW_OK);
    session_bench second = bench;
    mw_text out = {0};
    assert_int_equal(session_open(&second, true), MW_OK);
    assert_int_equal(session_recover(&second.program, "recover", &out), MW_FAILED);
    assert_int_equal(second.program.diags.items[0].code, MW_CODE_NOTHING_TO_RECOVER);
    session_close(&bench, false);
    assert_int_equal(session_recover(&second.program, "recover show", &out), MW_OK);
    assert_non_null(strstr(out.data, "other = 1 kg"));
    assert_int_equal(session_say(&second.program, "own = 1"), MW_OK);
    assert_int_equal(session_recover(&second.program, "recover", &out), MW_FAILED);
    assert_int_equal(second.program.diags.items[0].code, MW_CODE_NOT_SAVED);
    assert_int_equal(session_recover(&second.program, "recover discard", &out), MW_OK);
    assert_int_equal(session_recover(&second.program, "recover", &out), MW_FAILED);
    mw_text_free(&out);
    session_end(&second);
}

/* Lines that no longer apply are told, the rest is taken, and all is kept until it has been saved. */
static void file_changed_meanwhile(void **state)
{
    (void)state;
    session_bench bench;
    mw_text out = {0};
    size_t bytes = 0;
    session_folder(&bench);
    assert_int_equal(session_open(&bench, true), MW_OK);
    assert_int_equal(session_say(&bench.program, "b.heavy.plies = 7"), MW_OK);
    assert_int_equal(session_say(&bench.program, "other = 1 kg"), MW_OK);
    assert_int_equal(session_say(&bench.program, "b.heavy.plies = 8"), MW_OK);
    assert_int_equal(session_say(&bench.program, "undo"), MW_OK);
    session_close(&bench, false);
    static const char fresh[] = "shop \"yard\"\nmould a: area 4 m2, recipe \"simple\"\n";
    assert_int_equal(mw_file_replace(bench.job, mw_str_of(fresh)), MW_OK);
    assert_int_equal(session_open(&bench, true), MW_OK);
    assert_int_equal(session_recover(&bench.program, "recover", &out), MW_OK);
    assert_non_null(strstr(out.data, "2 changes no longer apply"));
    assert_non_null(strstr(out.data, "the file was changed since"));
    assert_int_equal(bench.program.diags.errors, 2);
    assert_int_equal(mw_job_line_count(bench.program.job), 1);
    assert_int_equal(journals_of(&bench, &bytes), 1);
    assert_int_equal(session_say(&bench.program, "undo"), MW_OK);
    assert_int_equal(mw_job_line_count(bench.program.job), 0);
    session_close(&bench, false);
    assert_int_equal(session_open(&bench, true), MW_OK);
    mw_text_clear(&out);
    assert_int_equal(session_recover(&bench.program, "recover", &out), MW_OK);
    assert_int_equal(mw_job_line_count(bench.program.job), 0);
    assert_int_equal(session_say(&bench.program, "other = 3 kg"), MW_OK);
    assert_int_equal(session_say(&bench.program, "save"), MW_OK);
    assert_int_equal(journals_of(&bench, &bytes), 0);
    mw_text_free(&out);
    session_end(&bench);
}

/* Killed between the rename and the end of the journal: what is in the file is not offered again. */
static void cut_off_while_saving(void **state)
{
    (void)state;
    session_bench bench;
    mw_text out = {0};
    session_folder(&bench);
    assert_int_equal(session_open(&bench, true), MW_OK);
    assert_int_equal(session_say(&bench.program, "other = 1 kg"), MW_OK);
    /* As if killed: the records stay. */
    support_fail_calls(SUPPORT_UNLINK, 0, EACCES);
    support_fail_calls(SUPPORT_FTRUNCATE, 1, EACCES);
    assert_int_equal(session_say(&bench.program, "save"), MW_OK);
    support_fail_never();
    session_close(&bench, false);
    assert_int_equal(session_open(&bench, true), MW_OK);
    assert_int_equal(session_recover(&bench.program, "recover", &out), MW_FAILED);
    assert_int_equal(bench.program.diags.items[0].code, MW_CODE_NOTHING_TO_RECOVER);
    mw_text_free(&out);
    session_end(&bench);
}

/* ---- a change that cannot be kept ---- */

typedef struct fail_row {
    const char *name;
    support_call call;
    int error;
} fail_row;

static const fail_row fail_rows[] = {
    {"open, no space", SUPPORT_OPEN, ENOSPC},     {"open, not allowed", SUPPORT_OPEN, EACCES},
    {"write, no space", SUPPORT_WRITE, ENOSPC},   {"write, broken", SUPPORT_WRITE, EIO},
    {"flush, broken", SUPPORT_FSYNC, EIO},        {"flush, no space", SUPPORT_FSYNC, ENOSPC},
    {"cut back, broken", SUPPORT_FTRUNCATE, EIO},
};

static void say_both(session_bench *bench, const char *line, const fail_row *row, size_t n)
{
    mw_text before = {0};
    mw_text after = {0};
    session_reports(&bench->program, &before);
    support_fail_calls(row->call, n, row->error);
    mw_status status = session_say(&bench->program, line);
    bool failed = support_calls_failed() > 0;
    support_fail_never();
    session_reports(&bench->program, &after);
    if (status == MW_OK) {
        assert_string_not_equal(mw_text_chars(&before), mw_text_chars(&after));
    } else {
        assert_true(failed);
        assert_int_equal(bench->program.diags.count, 0); /* cleared by the reports */
        assert_string_equal(mw_text_chars(&before), mw_text_chars(&after));
    }
    mw_text_free(&before);
    mw_text_free(&after);
}

/* The change is refused and said so, the job is as it was, and what was kept before is whole. */
static void refused_when_not_kept(void **state)
{
    const fail_row *row = *state;
    for (size_t n = 0; n < 4; n++) {
        session_bench bench;
        session_folder(&bench);
        assert_int_equal(session_open(&bench, true), MW_OK);
        say_both(&bench, "other = 1 kg", row, n);
        say_both(&bench, "a.heavy.plies = usual + 1", row, n);
        say_both(&bench, "mould c: area 2 m2, recipe \"simple\"", row, n);
        session_say(&bench.program, "third = 3");
        check_cut(&bench);
        session_end(&bench);
    }
}

static void said_when_not_kept(void **state)
{
    (void)state;
    session_bench bench;
    session_folder(&bench);
    assert_int_equal(session_open(&bench, true), MW_OK);
    assert_int_equal(session_say(&bench.program, "other = 1 kg"), MW_OK);
    support_fail_calls(SUPPORT_WRITE, 0, ENOSPC);
    assert_int_equal(session_say(&bench.program, "other = 2 kg"), MW_FAILED);
    support_fail_never();
    assert_int_equal(bench.program.diags.items[0].code, MW_CODE_CANNOT_KEEP);
    assert_non_null(strstr(bench.program.diags.items[0].message, strerror(ENOSPC)));
    support_short_io(1);
    assert_int_equal(session_say(&bench.program, "other = 3 kg"), MW_OK);
    support_fail_never();
    check_cut(&bench);
    session_end(&bench);
}

static void no_place_for_a_journal(void **state)
{
    (void)state;
    session_bench bench;
    session_folder(&bench);
    assert_int_equal(unsetenv("XDG_STATE_HOME"), 0);
    const char *home = getenv("HOME");
    char kept[512];
    snprintf(kept, sizeof kept, "%s", home ? home : "/");
    assert_int_equal(unsetenv("HOME"), 0);
    assert_int_equal(session_open(&bench, true), MW_OK);
    assert_int_equal(session_say(&bench.program, "other = 2 kg"), MW_FAILED);
    assert_int_equal(bench.program.diags.items[0].code, MW_CODE_CANNOT_KEEP);
    assert_int_equal(setenv("HOME", kept, 1), 0);
    session_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, published_sums);
    test_add_rows(&list, "record", words_rows, there_and_back);
    test_add_rows(&list, "looked at", look_rows, looked_at);
    test_add(&list, gone_after_a_save);
    test_add(&list, not_of_a_live_session);
    test_add(&list, file_changed_meanwhile);
    test_add(&list, cut_off_while_saving);
    test_add_rows(&list, "cut off, seed", seeds, cut_anywhere);
    test_add_rows(&list, "cut off again, seed", seeds, cut_again_and_again);
    test_add_rows(&list, "not kept", fail_rows, refused_when_not_kept);
    test_add(&list, said_when_not_kept);
    test_add(&list, no_place_for_a_journal);
    return test_run(&list, "cli: journal");
}
