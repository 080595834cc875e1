/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A journal made again, record by record. A record that no longer applies is told, and the others are taken. */
#include "recover.h"

#include "mouldwright/memory.h"

/* A journal while it is gone through. `made` says of each step whether it could be made again, so that an undo in the
 * journal takes back what it took back then, and nothing else. */
typedef struct playing {
    cli *program;
    bool *made;
    size_t at, count, capacity; /* `at` steps are in force */
    uint32_t number;            /* of the change */
    mw_str base;                /* hash of the file's content that the records go on from */
    mw_text now;                /* that of the file as it was read */
    played *out;
} playing;

static mw_status note_step(playing *on, bool made)
{
    void *list = on->made;
    if (!mw_memory_grow(&list, &on->capacity, on->at + 1, sizeof *on->made)) {
        return MW_NO_MEMORY;
    }
    on->made = list;
    on->made[on->at++] = made;
    on->count = on->at;
    return MW_OK;
}

static mw_status say_again(playing *on, mw_str words, bool *made)
{
    mw_job *job = on->program->job;
    mw_sources *sources = mw_job_sources(job);
    uint32_t source = mw_sources_add(sources, mw_str_of("<recovered>"), words);
    mw_reply reply;
    if (source == MW_NONE) {
        return MW_NO_MEMORY;
    }
    mw_sources_first_line(sources, source, on->number);
    mw_status status =
        mw_job_say(job, (mw_span){source, 0, (uint32_t)words.length}, &reply, &on->program->diags);
    *made = status == MW_OK && reply.kind == MW_REPLY_CHANGE;
    return status;
}

/* A whole text fits only the file that it was made from. */
static mw_status take_text(playing *on, mw_str words)
{
    mw_reply reply;
    if (!mw_str_equal(on->base, (mw_str){on->now.data, on->now.length})) {
        mw_diags_error(&on->program->diags, MW_CODE_CHANGED_MEANWHILE, (mw_span){MW_NONE, 0, 0},
                       "the file was changed since, so this undo cannot be made again");
        return MW_FAILED;
    }
    return mw_job_take_text(on->program->job, words, &reply, &on->program->diags);
}

static mw_status revert_again(playing *on, mw_str hash)
{
    mw_reply reply;
    on->base = hash;
    return mw_job_revert(on->program->job, &reply, &on->program->diags);
}

static mw_status step_again(playing *on, bool back)
{
    mw_reply reply;
    mw_job *job = on->program->job;
    if (back ? on->at == 0 : on->at >= on->count) {
        return MW_OK; /* its step stood in a part that cannot be read */
    }
    on->at -= back;
    bool made = on->made[on->at];
    on->at += !back;
    return !made  ? MW_OK
           : back ? mw_job_undo(job, &reply, &on->program->diags)
                  : mw_job_redo(job, &reply, &on->program->diags);
}

static mw_status play_one(playing *on, const record *one)
{
    mw_str words = one->words;
    bool made = false;
    mw_status status = MW_OK;
    switch (one->kind) {
    case RECORD_SAY:
        on->number++;
        status = say_again(on, words, &made);
        break;
    case RECORD_TEXT:
        status = take_text(on, words);
        made = status == MW_OK;
        break;
    case RECORD_REVERT:
        status = revert_again(on, words);
        made = status == MW_OK;
        break;
    case RECORD_UNDO:
    case RECORD_REDO:
        return step_again(on, one->kind == RECORD_UNDO);
    case RECORD_JOB:
        record_line(&words);
        on->base = record_line(&words);
        return MW_OK;
    case RECORD_SAVING:
    case RECORD_SAVED:
    case RECORD_KINDS:
        return MW_OK;
    }
    if (status != MW_NO_MEMORY && note_step(on, made) != MW_OK) {
        status = MW_NO_MEMORY;
    }
    on->out->refused += status != MW_NO_MEMORY && !made;
    return status;
}

/* How many steps that were made are in force. */
static size_t in_force(const playing *on)
{
    size_t count = 0;
    for (size_t i = 0; i < on->at; i++) {
        count += on->made[i];
    }
    return count;
}

static void take_all_back(const playing *on)
{
    mw_reply reply;
    mw_status status = MW_OK;
    for (size_t left = in_force(on); left > 0 && status == MW_OK; left--) {
        status = mw_job_undo(on->program->job, &reply, &on->program->diags);
    }
}

mw_status recover_play(cli *program, const left_journal *left, played *out)
{
    playing on = {.program = program, .base = left->hash, .out = out};
    size_t at = 0;
    record one;
    mw_status status = MW_OK;
    *out = (played){0};
    journal_hash(mw_job_file_text(program->job), &on.now);
    out->changed = !mw_str_equal(left->hash, (mw_str){on.now.data, on.now.length});
    program->journal.playing = true;
    while (status != MW_NO_MEMORY && record_read(left->rest, &at, &one)) {
        status = on.now.failed ? MW_NO_MEMORY : play_one(&on, &one);
    }
    if (status == MW_NO_MEMORY) {
        take_all_back(&on);
    }
    program->journal.playing = false;
    out->taken = in_force(&on);
    mw_memory_give(on.made);
    mw_text_free(&on.now);
    return status == MW_NO_MEMORY ? status : MW_OK;
}

/* ---- showing ---- */

static const char *words_of(record_kind kind)
{
    switch (kind) {
    case RECORD_UNDO:
        return "undo";
    case RECORD_REDO:
        return "redo";
    case RECORD_TEXT:
        return "an alternative kept, or undo or redo of what had been saved";
    case RECORD_REVERT:
        return "revert";
    case RECORD_SAY:
    case RECORD_JOB:
    case RECORD_SAVING:
    case RECORD_SAVED:
    case RECORD_KINDS:
        return NULL;
    }
    return NULL;
}

/* Control characters would go to the terminal. */
static void add_shown(mw_str line, mw_text *out)
{
    for (size_t i = 0; i < line.length; i++) {
        unsigned char c = (unsigned char)line.at[i];
        mw_text_addc(out, c < ' ' || c == 0x7F ? ' ' : line.at[i]);
    }
    mw_text_addc(out, '\n');
}

void recover_words(const left_journal *left, mw_text *out)
{
    size_t at = 0;
    uint32_t number = 0;
    record one;
    while (record_read(left->rest, &at, &one)) {
        const char *word = words_of(one.kind);
        if (one.kind == RECORD_SAY) {
            mw_text_addf(out, "%5u  ", ++number);
            add_shown(record_line(&one.words), out);
            while (one.words.length > 0) {
                mw_text_adds(out, "       ");
                add_shown(record_line(&one.words), out);
            }
        } else if (word) {
            mw_text_addf(out, "       %s\n", word);
        }
    }
}
