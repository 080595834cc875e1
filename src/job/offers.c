/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keeping one of the alternatives that were shown last, or a saved one. */
#include "whatif.h"

#include <string.h>

/* `hull_port.heavy.plies = 3`, in an arena; at NULL: no memory. */
static mw_str line_of(const mw_job *job, mw_arena *arena, mw_str path, mw_span value)
{
    mw_str formula = mw_sources_piece(job->sources, value);
    char *line = mw_arena_print(arena, "%.*s = %.*s", (int)path.length, path.at,
                                (int)formula.length, formula.at);
    return line ? mw_str_of(line) : (mw_str){0};
}

static bool fill_offer(const comparing *with, uint32_t column, offer *out)
{
    mw_arena *arena = with->job->offer_arena;
    mw_str *lines = mw_arena_get(arena, ((size_t)with->setting_count + 1) * sizeof *lines);
    *out = (offer){.lines = lines};
    for (uint32_t i = 0; lines && i < with->setting_count; i++) {
        const setting *of = &with->settings[i];
        mw_span value = of->spans[setting_at(of, column)];
        if (value.source == MW_NONE) {
            continue;
        }
        lines[out->count] = line_of(with->job, arena, of->target.name, value);
        if (!lines[out->count++].at) {
            return false;
        }
    }
    return lines != NULL;
}

mw_status offers_set(comparing *with, const uint32_t *chosen, uint32_t count)
{
    mw_job *job = with->job;
    mw_arena_mark empty = {0};
    if (!job->offer_arena && !(job->offer_arena = mw_arena_new())) {
        return MW_NO_MEMORY;
    }
    job->offer_count = 0;
    mw_arena_rewind(job->offer_arena, empty);
    offer *offers = mw_arena_get(job->offer_arena, ((size_t)count + 1) * sizeof *offers);
    for (uint32_t i = 0; offers && i < count; i++) {
        if (!fill_offer(with, chosen ? chosen[i] : i, &offers[i])) {
            return MW_NO_MEMORY;
        }
    }
    job->offers = offers;
    job->offer_count = offers ? count : 0;
    return offers ? MW_OK : MW_NO_MEMORY;
}

/* ---- keeping ---- */

/* What stands behind `keep`. */
typedef struct wish {
    mw_str which; /* number or name */
    mw_span which_at;
    mw_str as; /* empty: none */
    mw_span as_at;
} wish;

static mw_span part_of(mw_span rest, mw_str whole, mw_str part)
{
    uint32_t begin = rest.begin + (uint32_t)(part.at - whole.at);
    return (mw_span){rest.source, begin, begin + (uint32_t)part.length};
}

/* Takes the next word off the front. */
static mw_str next_word(mw_str *text)
{
    *text = mw_str_trim(*text);
    size_t length = 0;
    while (length < text->length && text->at[length] != ' ' && text->at[length] != '\t') {
        length++;
    }
    mw_str word = {text->at, length};
    text->at += length;
    text->length -= length;
    return word;
}

static bool is_number(mw_str text)
{
    bool digits = text.length > 0 && text.length < 6;
    for (size_t i = 0; digits && i < text.length; i++) {
        digits = text.at[i] >= '0' && text.at[i] <= '9';
    }
    return digits;
}

static mw_status read_wish(mw_job *job, mw_span rest, wish *out, mw_diags *diags)
{
    mw_str whole = mw_sources_piece(job->sources, rest);
    mw_str left = whole;
    *out = (wish){.which = next_word(&left)};
    mw_str word = next_word(&left);
    mw_str name = next_word(&left);
    bool fits = out->which.length > 0 && mw_str_trim(left).length == 0 &&
                (word.length == 0 || (mw_str_is(word, "as") && mw_is_name(name)));
    if (!fits) {
        mw_diag *diag = mw_diags_error(
            diags, MW_CODE_SYNTAX, rest,
            "behind `keep` stands the number or the name of an alternative, and maybe `as NAME`");
        mw_diag_try(diags, diag, "keep 2, or: keep 2 as thin");
        return MW_FAILED;
    }
    out->which_at = part_of(rest, whole, out->which);
    out->as = name;
    out->as_at = name.length > 0 ? part_of(rest, whole, name) : rest;
    return MW_OK;
}

/* The lines of a saved alternative. */
static mw_status saved_offer(mw_job *job, const wish *on, offer *out, mw_diags *diags)
{
    const entry *item = alternative_find(job, on->which);
    if (!item) {
        return alternative_unknown(job, on->which, on->which_at, diags);
    }
    mw_str *lines = mw_arena_get(job->scratch, ((size_t)item->field_count + 1) * sizeof *lines);
    *out = (offer){lines, item->field_count};
    for (uint32_t i = 0; lines && i < item->field_count; i++) {
        lines[i] = line_of(job, job->scratch, item->fields[i].name, item->fields[i].value);
        if (!lines[i].at) {
            return MW_NO_MEMORY;
        }
    }
    return lines ? MW_OK : MW_NO_MEMORY;
}

static mw_status find_offer(mw_job *job, const wish *on, offer *out, mw_diags *diags)
{
    if (!is_number(on->which)) {
        return saved_offer(job, on, out, diags);
    }
    uint32_t number = 0;
    for (size_t i = 0; i < on->which.length; i++) {
        number = number * 10 + (uint32_t)(on->which.at[i] - '0');
    }
    if (job->offer_count == 0) {
        mw_diags_error(diags, MW_CODE_NOTHING_TO_KEEP, on->which_at,
                       "no alternatives have been shown yet");
        return MW_FAILED;
    }
    if (number < 1 || number > job->offer_count) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_OUT_OF_RANGE, on->which_at,
                                       "the alternatives shown last have the numbers 1 to %u",
                                       (unsigned)job->offer_count);
        mw_diag_try(diags, diag, "keep 1");
        return MW_FAILED;
    }
    *out = job->offers[number - 1];
    return MW_OK;
}

/* The words that say an offer: lines of their own, or those of a saved alternative. */
static void offer_words(const offer *of, mw_str as, mw_text *out)
{
    if (as.length > 0) {
        mw_text_addf(out, "alternative %.*s: ", (int)as.length, as.at);
    }
    for (uint32_t i = 0; i < of->count; i++) {
        mw_text_adds(out, i == 0 ? "" : as.length > 0 ? " with " : "\n");
        mw_text_add_str(out, of->lines[i]);
    }
    mw_text_addc(out, '\n');
}

/* Reads the lines of a source into entries. */
static mw_status read_entries(mw_job *job, uint32_t source, entry_list *list, mw_diags *diags)
{
    uint32_t at = 0;
    mw_span line;
    mw_status status = MW_OK;
    while (status == MW_OK && mw_next_line(job->sources, source, &at, &line)) {
        mw_reader reader = {&job->ast, job->measure, job->sources, diags};
        mw_statement statement;
        mw_ast_clear(&job->ast);
        status = mw_parse_statement(&reader, line, &statement);
        if (status == MW_OK) {
            status = document_entries(job, &statement, list, diags);
        }
    }
    return status;
}

/* A name that something else has cannot be told from it by `drop`. */
static mw_status check_name(mw_job *job, const wish *on, mw_diags *diags)
{
    if (on->as.length == 0) {
        return MW_OK;
    }
    return alternative_name(job, on->as, on->as_at, diags);
}

static mw_status enter(mw_job *job, const wish *on, uint32_t source, mw_reply *reply,
                       mw_diags *diags)
{
    entry_list list = {0};
    mw_status status = read_entries(job, source, &list, diags);
    if (status == MW_OK) {
        mw_span said = on->which_at;
        const char *text = mw_sources_text(job->sources, said.source).at;
        while (said.begin > 0 && text[said.begin - 1] != '\n') {
            said.begin--; /* the word `keep` in front belongs to it */
        }
        said.end = on->as.length > 0 ? on->as_at.end : said.end;
        bool one = list.count == 1;
        job_step step = {&list, said,
                         one ? mw_sources_piece(job->sources, list.items[0]->span) : (mw_str){0}};
        status = job_enter(job, &step, reply, diags);
    }
    if (status == MW_OK && on->as.length > 0) {
        reply->put_by = list.items[0]->name;
    }
    entry_list_free(&list);
    return status;
}

mw_status mw_job_keep_alternative(mw_job *job, mw_span rest, mw_reply *reply, mw_diags *diags)
{
    job_start_reply(job, reply);
    wish on;
    offer chosen = {0};
    mw_status status = read_wish(job, rest, &on, diags);
    if (status == MW_OK) {
        status = find_offer(job, &on, &chosen, diags);
    }
    if (status == MW_OK) {
        status = check_name(job, &on, diags);
    }
    if (status != MW_OK) {
        return status;
    }
    mw_text text = {0};
    offer_words(&chosen, on.as, &text);
    uint32_t source = text.failed ? MW_NONE
                                  : mw_sources_add(job->sources, mw_str_of("<keep>"),
                                                   (mw_str){mw_text_chars(&text), text.length});
    mw_text_free(&text);
    status = source == MW_NONE ? MW_NO_MEMORY : enter(job, &on, source, reply, diags);
    return status;
}
