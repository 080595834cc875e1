/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `recover`, and the offer at the start. Of several journals on one job the newest comes first. */
#include "recover.h"

#include <errno.h>
#include <string.h>
#include <time.h>

#include "mouldwright/json.h"

/* What there is for this session. */
typedef struct found {
    left_list list;
    left_journal *mine; /* the newest on the job of this session; NULL: none */
    size_t more;        /* so many others on it */
} found;

/* Whether a journal is of the job that is open here; without a job: of none, and readable. */
static bool is_mine(const left_journal *left, mw_str real)
{
    return left->job.at && mw_str_equal(left->job, real);
}

static mw_status find(const cli *program, found *out)
{
    const char *path = mw_job_path(program->job);
    mw_text real = {0};
    *out = (found){0};
    if (path) {
        journal_real_path(path, &real);
    }
    mw_status status = real.failed
                           ? MW_NO_MEMORY
                           : journal_find(mw_text_chars(&program->journal.folder), &out->list);
    mw_str mine = {mw_text_chars(&real), real.length};
    for (size_t i = 0; i < out->list.count; i++) {
        left_journal *left = &out->list.items[i];
        if (is_mine(left, mine)) {
            out->more += out->mine != NULL;
            out->mine = out->mine ? out->mine : left;
        }
    }
    mw_text_free(&real);
    return status;
}

/* ---- words ---- */

static void add_time(int64_t when_s, mw_text *out)
{
    time_t when = (time_t)when_s;
    struct tm local;
    char words[32] = "";
    if (localtime_r(&when, &local)) {
        strftime(words, sizeof words, "%Y-%m-%d %H:%M", &local);
    }
    mw_text_adds(out, words);
}

static void add_count(size_t count, const char *one, const char *several, mw_text *out)
{
    mw_text_addf(out, "%zu %s", count, count == 1 ? one : several);
}

static void add_job(const left_journal *left, mw_text *out)
{
    mw_str name = left->job;
    if (!left->job.at) {
        mw_text_addf(out, "a journal that cannot be read (%s)", left->path);
    } else if (name.length == 0) {
        mw_text_addf(out, "a job without a file, begun in %.*s", (int)left->folder.length,
                     left->folder.at);
    } else {
        mw_text_add_str(out, name);
    }
}

/* dunlin.job, 2027-01-11 14:03, 3 changes */
static void add_left(const left_journal *left, mw_text *out)
{
    add_job(left, out);
    mw_text_adds(out, ", ");
    add_time(left->when_s, out);
    mw_text_adds(out, ", ");
    add_count(left->count, "change", "changes", out);
    if (left->damaged) {
        size_t read = left->rest.at ? (size_t)(left->rest.at - left->data) + left->rest.length : 0;
        mw_text_addf(out, "; the last %zu bytes of it cannot be read and are left out",
                     left->length - read);
    }
}

/* What is there of other jobs. */
static void add_others(const found *of, mw_text *out)
{
    bool first = true;
    for (size_t i = 0; i < of->list.count; i++) {
        const left_journal *left = &of->list.items[i];
        if (left != of->mine) {
            mw_text_adds(out, first ? "not saved when their sessions were cut off:\n" : "");
            mw_text_adds(out, "  ");
            add_left(left, out);
            mw_text_addc(out, '\n');
            first = false;
        }
    }
    mw_text_adds(
        out,
        first
            ? ""
            : "`recover` takes them back where that file is open (or none, where there was none)\n");
}

/* ---- the statement ---- */

typedef enum recover_way { WAY_TAKE, WAY_SHOW, WAY_DISCARD } recover_way;

static void write_json(const left_journal *left, recover_way way, const played *made, mw_text *out)
{
    mw_json json = {.out = out};
    mw_text shown = {0};
    mw_json_open(&json, '{');
    mw_json_key(&json, way == WAY_TAKE ? "recovered" : way == WAY_SHOW ? "left" : "discarded");
    mw_json_add_integer(&json, (int64_t)(way == WAY_TAKE ? made->taken : left->count));
    mw_json_key(&json, "job");
    mw_json_add_string(&json, left->job);
    if (way == WAY_TAKE) {
        mw_json_key(&json, "refused");
        mw_json_add_integer(&json, (int64_t)made->refused);
    }
    if (way == WAY_SHOW) {
        recover_words(left, &shown);
        mw_json_key(&json, "lines");
        mw_json_add_string(&json, (mw_str){mw_text_chars(&shown), shown.length});
    }
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
    mw_text_free(&shown);
}

static mw_status refuse_unsaved(cli *program, mw_span at)
{
    mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_NOT_SAVED, at,
                                   "this session has changes of its own that are not saved");
    mw_diag_try(&program->diags, diag, "save, or undo them, and say recover then");
    return MW_FAILED;
}

static mw_status refuse_held(cli *program, const left_journal *left, mw_span at)
{
    mw_diag *diag =
        mw_diags_error(&program->diags, MW_CODE_CANNOT_READ, at,
                       "the journal `%s` cannot be taken: %s", left->path, strerror(errno));
    mw_diag_try(&program->diags, diag, "see whether another session has it");
    return MW_FAILED;
}

static void word_taken(const left_journal *left, const played *made, mw_text *out)
{
    if (made->changed && left->job.length > 0) {
        mw_text_adds(out, "the file was changed since these changes were made\n");
    }
    mw_text_adds(out, "taken back: ");
    add_left(left, out);
    mw_text_addc(out, '\n');
    if (made->refused > 0) {
        add_count(made->refused, "change no longer applies", "changes no longer apply", out);
        mw_text_adds(out, "; the others are in the job\n");
    }
    mw_text_adds(
        out, "`changes` lists what differs from the file, `save` keeps it, `undo` steps back\n");
}

static mw_status take(cli *program, const left_journal *left, mw_span at, mw_text *out)
{
    const mw_unsaved *list = NULL;
    uint32_t count = 0;
    played made;
    mw_status status = mw_job_unsaved(program->job, &list, &count);
    if (status == MW_OK && count > 0) {
        return refuse_unsaved(program, at);
    }
    if (status == MW_OK && !journal_adopt(&program->journal, left)) {
        return refuse_held(program, left, at);
    }
    if (status == MW_OK) {
        status = recover_play(program, left, &made);
    }
    if (status != MW_OK) {
        journal_release(&program->journal);
        return status;
    }
    if (made.refused > 0) {
        /* What is undone from here on must not depend on what is refused once more. */
        bool noted = journal_note_job(&program->journal);
        (void)noted;
        program->journal.keeper.whole = true;
    }
    if (program->style.json) {
        write_json(left, WAY_TAKE, &made, out);
    } else {
        word_taken(left, &made, out);
    }
    return MW_OK;
}

static mw_status discard(cli *program, const left_journal *left, mw_span at, mw_text *out)
{
    if (!journal_discard(left)) {
        return refuse_held(program, left, at);
    }
    if (program->style.json) {
        write_json(left, WAY_DISCARD, NULL, out);
    } else {
        mw_text_adds(out, "discarded: ");
        add_left(left, out);
        mw_text_addc(out, '\n');
    }
    return MW_OK;
}

static void show(const cli *program, const left_journal *left, mw_text *out)
{
    if (program->style.json) {
        write_json(left, WAY_SHOW, NULL, out);
        return;
    }
    add_left(left, out);
    mw_text_addc(out, '\n');
    recover_words(left, out);
}

static mw_status go(cli *program, const found *of, recover_way way, mw_span at, mw_text *out)
{
    mw_status status = MW_OK;
    switch (way) {
    case WAY_TAKE:
        status = take(program, of->mine, at, out);
        break;
    case WAY_SHOW:
        show(program, of->mine, out);
        break;
    case WAY_DISCARD:
        status = discard(program, of->mine, at, out);
        break;
    }
    if (status == MW_OK && of->more > 0 && !program->style.json) {
        mw_text_addf(out, "there %s %zu more of this job: save, and say recover again\n",
                     of->more == 1 ? "is" : "are", of->more);
    }
    return status;
}

static mw_status refuse_nothing(cli *program, const found *of, mw_span at)
{
    mw_text others = {0};
    mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_NOTHING_TO_RECOVER, at,
                                   "no session on this job was cut off with changes");
    add_others(of, &others);
    if (others.length > 0) {
        others.data[others.length - 1] = '\0'; /* the line end comes with the message */
        mw_diag_extra(&program->diags, diag, "%s", others.data);
    }
    mw_text_free(&others);
    return MW_FAILED;
}

static mw_status read_way(cli *program, const mw_statement *statement, recover_way *way)
{
    mw_str word = mw_str_trim(mw_sources_piece(mw_job_sources(program->job), statement->rest));
    if (word.length == 0) {
        *way = WAY_TAKE;
    } else if (mw_str_is(word, "show")) {
        *way = WAY_SHOW;
    } else if (mw_str_is(word, "discard")) {
        *way = WAY_DISCARD;
    } else {
        mw_diag *diag = mw_diags_error(&program->diags, MW_CODE_SYNTAX, statement->rest,
                                       "`show` or `discard` is expected here, or nothing");
        mw_diag_try(&program->diags, diag, "recover show");
        return MW_FAILED;
    }
    return MW_OK;
}

mw_status cli_recover(cli *program, const mw_statement *statement, mw_text *out)
{
    recover_way way = WAY_TAKE;
    found of = {0};
    mw_status status = read_way(program, statement, &way);
    if (status != MW_OK) {
        return status;
    }
    status = find(program, &of);
    if (status == MW_OK) {
        status = of.mine ? go(program, &of, way, statement->span, out)
                         : refuse_nothing(program, &of, statement->span);
    }
    journal_list_free(&of.list);
    return status;
}

/* ---- the offer ---- */

static void write_out(cli *program, mw_text *out)
{
    cli_write(program, out);
    cli_write_diags(program);
    mw_text_clear(out);
}

static void ask_about(cli *program, const found *of, mw_text *out)
{
    mw_span nowhere = {MW_NONE, 0, 0};
    char answer = 's';
    mw_text_adds(out, "not saved when its session was cut off: ");
    add_left(of->mine, out);
    mw_text_addc(out, '\n');
    while (answer == 's') {
        write_out(program, out);
        answer = cli_ask(program, "[t]ake back, [s]how, [d]iscard, or [l]ater?", "tsdl");
        if (answer == 's') {
            recover_words(of->mine, out);
        }
    }
    if (answer == 't' || answer == 'd') {
        mw_status status = go(program, of, answer == 't' ? WAY_TAKE : WAY_DISCARD, nowhere, out);
        if (status == MW_NO_MEMORY) {
            fputs("mouldwright: error: out of memory; nothing was taken back\n", stderr);
        }
    } else {
        mw_text_adds(out, "`recover` takes it back at any time\n");
    }
    write_out(program, out);
}

void cli_offer_recovery(cli *program)
{
    found of = {0};
    mw_text out = {0};
    mw_status status = program->style.json ? MW_FAILED : find(program, &of);
    if (status == MW_OK && !mw_job_path(program->job)) {
        add_others(&of, &out);
        write_out(program, &out);
    }
    if (status == MW_OK && of.mine) {
        ask_about(program, &of, &out);
    }
    mw_text_free(&out);
    journal_list_free(&of.list);
}
