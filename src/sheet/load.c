/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Loading a source of lines `NAME = FORMULA`; see load.h. */
#include <string.h>

#include "load.h"

enum { AHEAD = 16 }; /* lines between asking for the place of a name and putting it there */

static void report_twice(loading *load, const read_line *line, mw_span first)
{
    mw_diag *diag =
        mw_diags_error(load->diags, MW_CODE_NAME_TWICE, line->name_at, "`%.*s` is defined twice",
                       (int)line->name.length, line->name.at);
    mw_diag_other(load->diags, diag, first, "it is defined here already");
    load->failed = true;
}

/* A line whose name was known before. */
static mw_status take_known(loading *load, const read_line *line, uint32_t name)
{
    mw_edit *edit = load->edit;
    if (name >= load->first_name && name - load->first_name < load->line_count) {
        const new_line *first = &load->lines[name - load->first_name];
        report_twice(load, line, (mw_span){load->source, first->begin, first->end});
        return MW_OK;
    }
    const uint32_t id = mw_edit_cell(edit, line->name);
    if (id == MW_NONE) {
        return MW_NO_MEMORY;
    }
    mw_span first;
    if (mw_edit_defined(edit, id, &first)) {
        report_twice(load, line, first);
        return MW_OK;
    }
    mw_edit_formula(edit, id,
                    &(mw_definition){.formula = line->formula, .slot = MW_NONE, .unit = MW_NONE});
    return MW_OK;
}

static mw_status take_line(loading *load, const read_line *line)
{
    const uint32_t name = mw_names_add(load->edit->sheet->names, line->name);
    if (name == MW_NONE) {
        return MW_NO_MEMORY;
    }
    if (name != load->first_name + load->line_count) {
        return take_known(load, line, name);
    }
    load->lines[load->line_count++] = (new_line){.begin = line->formula.begin,
                                                 .end = line->formula.end,
                                                 .first_word = line->first_word,
                                                 .shape = line->shape};
    return MW_OK;
}

/* Lines whose names are on their way. */
typedef struct waiting_lines {
    read_line lines[AHEAD];
    uint32_t count;
} waiting_lines;

static mw_status take_waiting(loading *load, waiting_lines *waiting)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; i < waiting->count && status == MW_OK; i++) {
        status = take_line(load, &waiting->lines[i]);
    }
    waiting->count = 0;
    return status;
}

/* A line that has to be read as a statement. Lines before it must not wait: its name lies in
 * `room`. */
static mw_status take_statement(loading *load, uint32_t *at)
{
    char room[LOAD_NAME_BYTES];
    mw_span span;
    read_line line;
    if (!mw_next_line(load->edit->sheet->sources, load->source, at, &span)) {
        return MW_OK;
    }
    const mw_status status = load_read_statement(load, span, room, &line);
    if (status == MW_OK) {
        return take_line(load, &line);
    }
    load->failed = load->failed || status == MW_FAILED;
    return status == MW_NO_MEMORY ? MW_NO_MEMORY : MW_OK;
}

static mw_status take_lines(loading *load)
{
    waiting_lines waiting = {.count = 0};
    mw_status status = MW_OK;
    uint32_t at = 0;
    while (status == MW_OK && at < load->text.length) {
        read_line *line = &waiting.lines[waiting.count];
        if (load_read_plain(load, &at, line)) {
            mw_names_prefetch(load->edit->sheet->names, mw_names_hash(line->name));
            if (++waiting.count == AHEAD) {
                status = take_waiting(load, &waiting);
            }
            continue;
        }
        status = take_waiting(load, &waiting);
        if (status == MW_OK) {
            status = take_statement(load, &at);
        }
    }
    return status == MW_OK ? take_waiting(load, &waiting) : status;
}

/* Makes room at once for as many lines as there can be. */
static mw_status make_room(loading *load)
{
    mw_sheet *sheet = load->edit->sheet;
    uint32_t count = 1;
    const char *at = load->text.at;
    const char *end = at + load->text.length;
    while ((at = memchr(at, '\n', (size_t)(end - at))) != NULL) {
        at++;
        count++;
    }
    load->first_name = mw_names_count(sheet->names);
    if (count > INT32_MAX - load->first_name || !sheet_name_room(sheet, load->first_name + count) ||
        !mw_names_reserve(sheet->names, load->first_name + count) ||
        !grow_array(load->lines, load->line_capacity, count + 1)) {
        return MW_NO_MEMORY;
    }
    return MW_OK;
}

static mw_status gather(loading *load)
{
    mw_status status = like_start(&load->likes) ? make_room(load) : MW_NO_MEMORY;
    if (status == MW_OK) {
        status = take_lines(load);
    }
    /* Names of lines that did not become cells are lost ones. */
    load->edit->sheet->lost_names += load->line_count;
    if (status == MW_OK) {
        status = load_find_names(load);
    }
    if (status == MW_OK) {
        status = load_make_cells(load);
    }
    if (status == MW_OK) {
        load->edit->sheet->lost_names -= load->line_count;
    }
    return status;
}

/* Errors in the order of the text, whatever the order in which formulas were compiled. */
static void sort_errors(mw_diags *diags, size_t from)
{
    for (size_t i = from + 1; i < diags->count; i++) {
        const mw_diag moved = diags->items[i];
        size_t at = i;
        while (at > from && diags->items[at - 1].span.begin > moved.span.begin) {
            diags->items[at] = diags->items[at - 1];
            at--;
        }
        diags->items[at] = moved;
    }
}

mw_status mw_sheet_load(mw_sheet *sheet, uint32_t source, mw_changes *changes, mw_diags *diags)
{
    loading load = {.edit = mw_edit_begin(sheet), .diags = diags, .source = source};
    if (load.edit == NULL) {
        return MW_NO_MEMORY;
    }
    load.text = mw_sources_text(sheet->sources, source);
    const size_t before = diags->count;
    const uint32_t first_cell = sheet->total;
    mw_status status = gather(&load);
    if (status == MW_OK) {
        sheet->known = (known_words){.words = load.words,
                                     .text = load.text.at,
                                     .likes = &load.likes,
                                     .first_cell = first_cell,
                                     .end_cell = sheet->total,
                                     .scattered = load.far_count > load.line_count / 16};
        status = mw_edit_prepare(load.edit, diags);
        sheet->known = (known_words){0};
    }
    const bool fine = status == MW_OK && !load.failed;
    if (fine) {
        mw_edit_commit(load.edit, changes);
    } else {
        mw_edit_cancel(load.edit);
        sort_errors(diags, before);
    }
    mw_ast_free(&load.ast);
    like_end(&load.likes);
    mw_memory_give(load.lines);
    mw_memory_give(load.words);
    mw_memory_give(load.needs);
    mw_memory_give(load.first_need);
    mw_memory_give(load.stack);
    return fine ? MW_OK : status == MW_NO_MEMORY ? MW_NO_MEMORY : MW_FAILED;
}
