/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job file as lines that a patch can be put into: each with its bytes, and what it says. */
#include "saving.h"

#include <string.h>

#include "mouldwright/memory.h"

void paper_free(paper *of)
{
    mw_memory_give(of->lines);
    *of = (paper){0};
}

static void fill_entry(paper_line *line, const entry *item)
{
    line->item = item;
    line->key = item->key;
    switch (item->kind) {
    case ENTRY_SHOP:
        line->kind = LINE_SHOP;
        break;
    case ENTRY_START:
        line->kind = LINE_START;
        break;
    case ENTRY_MOULD:
        line->kind = LINE_MOULD;
        line->head = item->name;
        break;
    case ENTRY_ALTERNATIVE:
        line->kind = LINE_ALTERNATIVE;
        break;
    case ENTRY_SET:
        line->kind = item->part_count > 1 ? LINE_OVERRIDE : LINE_OWN;
        line->head = item->parts[0];
        break;
    }
}

static mw_status fill_file(mw_job *job, const mw_statement *statement, paper_line *line)
{
    mw_text path = {0};
    document_resolve(job, statement->name, &path);
    line->kind = statement->kind == MW_SAY_INCLUDE ? LINE_INCLUDE : LINE_LIST;
    line->name = statement->name;
    line->key = path.failed ? (mw_str){0}
                            : job_copy(job->arena, (mw_str){mw_text_chars(&path), path.length});
    mw_text_free(&path);
    return line->key.at ? MW_OK : MW_NO_MEMORY;
}

static mw_status fill_own(mw_job *job, const mw_statement *statement, paper_line *line,
                          mw_diags *diags)
{
    entry_list said = {0};
    bool taken = statement->kind == MW_SAY_DROP || statement->kind == MW_SAY_RESTORE;
    mw_status status = taken ? document_taken(job, statement, &said)
                             : document_entries(job, statement, &said, diags);
    if (status == MW_OK && taken) {
        line->kind = LINE_TAKE_OUT;
        line->key = said.items[0]->name;
    } else if (status == MW_OK) {
        fill_entry(line, said.items[0]);
    }
    entry_list_free(&said);
    return status;
}

static mw_status fill_line(mw_job *job, mw_span span, paper_line *line, mw_diags *diags)
{
    mw_statement statement;
    mw_reader reader = {&job->ast, job->measure, job->sources, diags};
    mw_ast_clear(&job->ast);
    mw_status status = mw_parse_statement(&reader, span, &statement);
    if (status != MW_OK) {
        return status;
    }
    line->statement = statement.span;
    switch (statement.kind) {
    case MW_SAY_NOTHING: {
        bool blank = mw_str_trim(mw_sources_piece(job->sources, span)).length == 0;
        line->kind = blank ? LINE_BLANK : LINE_COMMENT;
        return MW_OK;
    }
    case MW_SAY_SHOW:
    case MW_SAY_WHY:
    case MW_SAY_WHAT_IF:
    case MW_SAY_WEIGH:
    case MW_SAY_COMMAND:
    case MW_SAY_BALLPARK:
    case MW_SAY_COPY_MOULD:
    case MW_SAY_COPY_JOB:
    case MW_SAY_NEW:
        line->kind = LINE_ASK;
        return MW_OK;
    case MW_SAY_INCLUDE:
    case MW_SAY_MOULDS_FROM:
        return fill_file(job, &statement, line);
    case MW_SAY_SET:
    case MW_SAY_MOULD:
    case MW_SAY_ALTERNATIVE:
    case MW_SAY_SHOP:
    case MW_SAY_START:
    case MW_SAY_RESTORE:
    case MW_SAY_DROP:
        break;
    }
    return fill_own(job, &statement, line, diags);
}

mw_status paper_insert(paper *on, uint32_t at, const paper_line *line)
{
    void *lines = on->lines;
    if (!mw_memory_grow32(&lines, &on->capacity, on->count + 1, sizeof *on->lines)) {
        return MW_NO_MEMORY;
    }
    on->lines = lines;
    memmove(on->lines + at + 1, on->lines + at, (on->count - at) * sizeof *on->lines);
    on->lines[at] = *line;
    on->count++;
    return MW_OK;
}

mw_status paper_read(mw_job *job, uint32_t source, paper *out, mw_diags *diags)
{
    *out = (paper){.source = source, .text = mw_sources_text(job->sources, source)};
    mw_status status = MW_OK;
    uint32_t begin = 0;
    uint32_t at = 0;
    mw_span span;
    while (status == MW_OK && mw_next_line(job->sources, source, &at, &span)) {
        paper_line line = {.begin = begin, .end = at, .end_length = at - span.end};
        status = fill_line(job, span, &line, diags);
        if (status == MW_OK) {
            status = paper_insert(out, out->count, &line);
        }
        begin = at;
    }
    if (status != MW_OK) {
        paper_free(out);
    }
    return status;
}
