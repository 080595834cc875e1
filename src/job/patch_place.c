/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a new line goes in a job file: behind the last of its kind, as a person would put it. */
#include "saving.h"

/* The number of the line behind the last one of a kind (and of a head, if given), or 0. */
static uint32_t behind_last(const paper *on, line_kind kind, mw_str head)
{
    for (uint32_t i = on->count; i-- > 0;) {
        const paper_line *line = &on->lines[i];
        if (line->kind == kind && (head.length == 0 || mw_str_equal(line->head, head))) {
            return i + 1;
        }
    }
    return 0;
}

static uint32_t later(uint32_t a, uint32_t b)
{
    return a > b ? a : b;
}

/* Behind the comments that a file begins with. */
static uint32_t behind_heading(const paper *on)
{
    uint32_t at = 0;
    while (at < on->count && on->lines[at].kind == LINE_COMMENT) {
        at++;
    }
    return at;
}

/* Behind the lines that say what the job stands on. */
static uint32_t behind_ground(const paper *on)
{
    mw_str any = {0};
    uint32_t at = later(behind_last(on, LINE_SHOP, any), behind_last(on, LINE_START, any));
    at = later(at, behind_last(on, LINE_INCLUDE, any));
    return at ? at : behind_heading(on);
}

static uint32_t behind_moulds(const paper *on)
{
    mw_str any = {0};
    uint32_t at = later(behind_last(on, LINE_MOULD, any), behind_last(on, LINE_LIST, any));
    return at ? at : behind_ground(on);
}

/* Behind the last override of that mould, else behind the mould, else behind the last override of all. */
static uint32_t behind_override(const paper *on, mw_str head)
{
    uint32_t at = behind_last(on, LINE_OVERRIDE, head);
    at = at ? at : behind_last(on, LINE_MOULD, head);
    at = at ? at : behind_last(on, LINE_OVERRIDE, (mw_str){0});
    return at ? at : behind_moulds(on);
}

static uint32_t line_of(const paper *on, mw_str key)
{
    for (uint32_t i = 0; i < on->count; i++) {
        if (on->lines[i].kind != LINE_TAKE_OUT && mw_str_equal(on->lines[i].key, key)) {
            return i;
        }
    }
    return MW_NONE;
}

static line_kind class_of(const entry *item)
{
    return item->kind == ENTRY_MOULD                          ? LINE_MOULD
           : item->kind == ENTRY_SET && item->part_count == 1 ? LINE_OWN
                                                              : LINE_BLANK;
}

static uint32_t line_of_entry(const paper *on, const entry *item)
{
    return line_of(on, item->from ? item->from->path : item->key);
}

/* Moulds and lines are shown in their order: one that stood before others that are in the file comes back between
 * them. MW_NONE: it is the last. */
static uint32_t between(const paper *on, const document *to, uint32_t at)
{
    line_kind class = class_of(to->items[at]);
    uint32_t next = MW_NONE;
    for (uint32_t i = at + 1; class != LINE_BLANK && next == MW_NONE && i < to->count; i++) {
        next = class_of(to->items[i]) == class ? line_of_entry(on, to->items[i]) : MW_NONE;
    }
    if (next == MW_NONE) {
        return MW_NONE;
    }
    for (uint32_t i = at; i-- > to->included;) {
        uint32_t before =
            class_of(to->items[i]) == class ? line_of_entry(on, to->items[i]) : MW_NONE;
        if (before != MW_NONE && before < next) {
            return before + 1;
        }
    }
    return next;
}

static uint32_t usual_place(const paper *on, const line_change *change, const paper_line *line)
{
    mw_str any = {0};
    uint32_t at = 0;
    switch (line->kind) {
    case LINE_SHOP:
        return behind_heading(on);
    case LINE_START:
        at = behind_last(on, LINE_SHOP, any);
        return at ? at : behind_heading(on);
    case LINE_INCLUDE:
        return behind_ground(on);
    case LINE_MOULD:
    case LINE_LIST:
        return behind_moulds(on);
    case LINE_OVERRIDE:
        return behind_override(on, line->head);
    case LINE_TAKE_OUT:
        at = behind_last(on, LINE_TAKE_OUT, any);
        return at ? at : line_of(on, change->file->path) + 1;
    case LINE_OWN:
        at = behind_last(on, LINE_OWN, any);
        break;
    case LINE_ALTERNATIVE:
        at = behind_last(on, LINE_ALTERNATIVE, any);
        at = at ? at : later(behind_last(on, LINE_OWN, any), behind_last(on, LINE_OVERRIDE, any));
        break;
    case LINE_BLANK:
    case LINE_COMMENT:
    case LINE_ASK:
        break;
    }
    return at ? at : on->count;
}

/* Lines of one kind stand together; a blank line parts them from others, where the file has such lines at all. */
static int group_of(line_kind kind)
{
    switch (kind) {
    case LINE_BLANK:
        return 0;
    case LINE_COMMENT:
    case LINE_SHOP:
    case LINE_START:
    case LINE_INCLUDE:
        return 1;
    case LINE_MOULD:
    case LINE_LIST:
    case LINE_TAKE_OUT:
        return 2;
    case LINE_OVERRIDE:
        return 3;
    case LINE_ALTERNATIVE:
        return 5;
    case LINE_OWN:
    case LINE_ASK:
        break;
    }
    return 4;
}

static bool has_blanks(const paper *on)
{
    bool airy = on->text.length == 0;
    for (uint32_t i = 0; !airy && i < on->count; i++) {
        airy = on->lines[i].kind == LINE_BLANK && !on->lines[i].text;
    }
    return airy;
}

static bool parted(const paper *on, uint32_t at, const paper_line *line)
{
    const paper_line *before = at > 0 ? &on->lines[at - 1] : NULL;
    bool own_mould = before && line->kind == LINE_OVERRIDE && before->kind == LINE_MOULD &&
                     mw_str_equal(before->head, line->head);
    return before && !own_mould && before->kind != LINE_BLANK && before->kind != LINE_COMMENT &&
           group_of(before->kind) != group_of(line->kind) && has_blanks(on);
}

mw_status paper_put(mw_job *job, paper *on, const document *to, const line_change *change,
                    paper_line line)
{
    (void)job;
    uint32_t at = change->after ? between(on, to, change->at) : MW_NONE;
    at = at == MW_NONE ? usual_place(on, change, &line) : at;
    static const paper_line blank = {.kind = LINE_BLANK, .text = ""};
    mw_status status = MW_OK;
    if (parted(on, at, &line)) {
        status = paper_insert(on, at++, &blank);
    }
    if (status == MW_OK) {
        status = paper_insert(on, at, &line);
    }
    bool fresh = on->text.length == 0 && at + 1 < on->count &&
                 on->lines[at + 1].kind != LINE_BLANK &&
                 group_of(on->lines[at + 1].kind) != group_of(line.kind);
    return status == MW_OK && fresh ? paper_insert(on, at + 1, &blank) : status;
}
