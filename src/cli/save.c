/* SPDX-License-Identifier: GPL-3.0-or-later */
/* save, revert, changes, and the question before leaving. */
#include "cli.h"

#include <string.h>

#include "mouldwright/json.h"

/* What stands behind `save`: [over|both] ["FILE"], or a name without quotes. */
typedef struct save_words {
    mw_save_mode mode;
    mw_text path; /* empty: the job's own file */
} save_words;

/* Takes a word off the front of a text, if it stands there alone. */
static bool take_word(mw_str *rest, const char *word)
{
    size_t length = strlen(word);
    bool there = rest->length >= length && memcmp(rest->at, word, length) == 0 &&
                 (rest->length == length || rest->at[length] == ' ' || rest->at[length] == '"');
    if (there) {
        *rest = mw_str_trim((mw_str){rest->at + length, rest->length - length});
    }
    return there;
}

static bool read_words(cli *program, const mw_statement *statement, save_words *out)
{
    mw_str rest = mw_str_trim(mw_sources_piece(mw_job_sources(program->job), statement->rest));
    out->mode = take_word(&rest, "over")   ? MW_SAVE_OVER
                : take_word(&rest, "both") ? MW_SAVE_BOTH
                                           : MW_SAVE_PLAIN;
    bool opened = rest.length > 0 && rest.at[0] == '"';
    bool closed = rest.length > 1 && rest.at[rest.length - 1] == '"';
    if (opened && (!closed || rest.length == 2)) {
        mw_diags_error(&program->diags, closed ? MW_CODE_SYNTAX : MW_CODE_UNCLOSED, statement->rest,
                       closed ? "a file name is expected here" : "this quote is not closed");
        return false;
    }
    if (opened) {
        rest = (mw_str){rest.at + 1, rest.length - 2};
    }
    mw_text_add_str(&out->path, rest);
    return true;
}

static void write_saved(const cli *program, const mw_save_reply *reply, mw_text *out)
{
    if (program->style.json) {
        mw_json json = {.out = out};
        mw_json_open(&json, '{');
        mw_json_key(&json, "saved");
        mw_json_add_string(&json, mw_str_of(reply->path));
        mw_json_key(&json, "written");
        mw_json_add_truth(&json, reply->written);
        mw_json_key(&json, "lines");
        mw_json_add_integer(&json, reply->count);
        mw_json_close(&json, '}');
        mw_text_addc(out, '\n');
    } else if (reply->written) {
        mw_text_addf(out, "saved %s: %u %s\n", reply->path, (unsigned)reply->count,
                     reply->count == 1 ? "line changed" : "lines changed");
    } else {
        mw_text_addf(out, "%s is as it was: nothing to save\n", reply->path);
    }
}

/* Whether the newest message is of this code. */
static bool refused_for(const cli *program, mw_code code)
{
    return program->diags.count > 0 && program->diags.items[0].code == code;
}

static char ask_how(cli *program)
{
    if (refused_for(program, MW_CODE_CHANGED_MEANWHILE)) {
        cli_write_diags(program);
        return cli_ask(program, "keep [b]oth, write [o]ver theirs, or [c]ancel?", "boc");
    }
    if (refused_for(program, MW_CODE_FILE_EXISTS)) {
        cli_write_diags(program);
        return cli_ask(program, "write [o]ver it, or [c]ancel?", "oc");
    }
    return 0;
}

static mw_status save_to(cli *program, const char *path, mw_save_mode mode, mw_text *out)
{
    mw_save_reply reply;
    mw_status status = mw_job_save(program->job, path, mode, &reply, &program->diags);
    if (status == MW_FAILED && program->interactive) {
        char answer = ask_how(program);
        if (answer == 'b' || answer == 'o') {
            mode = answer == 'b' ? MW_SAVE_BOTH : MW_SAVE_OVER;
            status = mw_job_save(program->job, path, mode, &reply, &program->diags);
        }
    }
    if (status == MW_OK && reply.joined && !program->style.json) {
        mw_text_adds(out, "the changes of both are in the job now\n");
        status = mw_report_reply(program->job, &reply.change, &program->style, out);
    }
    if (status == MW_OK) {
        write_saved(program, &reply, out);
    }
    return status;
}

mw_status cli_save(cli *program, const mw_statement *statement, mw_text *out)
{
    save_words words = {0};
    mw_status status = MW_FAILED;
    if (read_words(program, statement, &words)) {
        status = words.path.failed ? MW_NO_MEMORY
                                   : save_to(program, words.path.length ? words.path.data : NULL,
                                             words.mode, out);
    }
    mw_text_free(&words.path);
    return status;
}

mw_status cli_revert(cli *program, mw_text *out)
{
    mw_reply reply;
    mw_status status = mw_job_revert(program->job, &reply, &program->diags);
    if (status != MW_OK) {
        return status;
    }
    if (!program->style.json) {
        mw_text_addf(out, "back to %s as it stands; undo takes that back\n",
                     mw_job_path(program->job));
    }
    return mw_report_reply(program->job, &reply, &program->style, out);
}

static const char *kind_word(mw_unsaved_kind kind)
{
    switch (kind) {
    case MW_UNSAVED_NEW:
        return "new";
    case MW_UNSAVED_SET:
        return "set";
    case MW_UNSAVED_GONE:
        return "gone";
    }
    return "";
}

static void write_json_changes(const mw_unsaved *list, uint32_t count, mw_text *out)
{
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "unsaved");
    mw_json_open(&json, '[');
    for (uint32_t i = 0; i < count; i++) {
        mw_json_open(&json, '{');
        mw_json_key(&json, "kind");
        mw_json_add_string(&json, mw_str_of(kind_word(list[i].kind)));
        mw_json_key(&json, "line");
        mw_json_add_string(&json, list[i].words);
        if (list[i].kind == MW_UNSAVED_SET) {
            mw_json_key(&json, "before");
            mw_json_add_string(&json, list[i].before);
        }
        mw_json_close(&json, '}');
    }
    mw_json_close(&json, ']');
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
}

mw_status cli_changes(cli *program, mw_text *out)
{
    const mw_unsaved *list = NULL;
    uint32_t count = 0;
    mw_status status = mw_job_unsaved(program->job, &list, &count);
    if (status != MW_OK) {
        return status;
    }
    if (program->style.json) {
        write_json_changes(list, count, out);
        return MW_OK;
    }
    for (uint32_t i = 0; i < count; i++) {
        mw_text_addf(out, "  %-4s  ", kind_word(list[i].kind));
        mw_text_add_str(out, list[i].words);
        if (list[i].kind == MW_UNSAVED_SET) {
            mw_text_adds(out, "\n        was  ");
            mw_text_add_str(out, list[i].before);
        }
        mw_text_addc(out, '\n');
    }
    if (count == 0) {
        mw_text_adds(out, "nothing was changed since the job was saved\n");
    }
    return MW_OK;
}

bool cli_may_leave(cli *program)
{
    const mw_unsaved *list = NULL;
    uint32_t count = 0;
    if (!program->interactive || mw_job_unsaved(program->job, &list, &count) != MW_OK) {
        return true;
    }
    program->given_up = count == 0;
    if (count == 0) {
        return true;
    }
    printf("%u %s not saved\n", (unsigned)count, count == 1 ? "change is" : "changes are");
    char answer = cli_ask(program, "[s]ave, leave [w]ithout, or [c]ancel?", "swc");
    program->given_up = answer == 'w';
    if (answer != 's') {
        return answer != 'c'; /* at the end of input nobody is there to ask: the journal stays */
    }
    mw_text out = {0};
    mw_status status = save_to(program, NULL, MW_SAVE_PLAIN, &out);
    cli_write(program, &out);
    cli_write_diags(program);
    mw_text_free(&out);
    return status == MW_OK;
}
