/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reports as documents: the same grids as on the screen, for the writers of paper. */
#include "paper.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"
#include "mouldwright/pricing.h"

void paper_take(writer *to, mw_paper_kind kind, mw_text *text)
{
    mw_paper_add(to->paper, kind, (mw_str){mw_text_chars(text), text->length});
    to->paper->lost = to->paper->lost || text->failed;
    mw_text_free(text);
}

static void add_cell(writer *to, mw_text *text, mw_text *plain)
{
    mw_paper_cell_add(to->paper, (mw_str){mw_text_chars(text), text->length},
                      (mw_str){mw_text_chars(plain), plain->length});
    to->paper->lost = to->paper->lost || text->failed || plain->failed;
    mw_text_free(text);
    mw_text_free(plain);
}

void paper_name(mw_str name, mw_text *out)
{
    bool plain = true;
    for (size_t i = 0; i < name.length; i++) {
        plain = plain && (unsigned char)name.at[i] < 0x80;
    }
    mw_text_adds(out, plain ? "" : "\u2068");
    mw_text_add_str(out, name);
    mw_text_adds(out, plain ? "" : "\u2069");
}

double paper_revision(mw_job *job)
{
    const mw_sheet *sheet = mw_job_sheet(job);
    const uint32_t cell = mw_sheet_find(sheet, mw_str_of("revision"));
    return cell == MW_NONE ? (double)NAN : mw_sheet_value(sheet, cell);
}

void paper_text(writer *to, mw_str text)
{
    mw_paper_cell_add(to->paper, text, (mw_str){"", 0});
}

void paper_money(writer *to, int64_t minor)
{
    mw_text text = {0};
    mw_text plain = {0};
    mw_money_words(minor, to->in->digits, ' ', &text);
    mw_money_words(minor, to->in->digits, 0, &plain);
    add_cell(to, &text, &plain);
}

void paper_date(writer *to, double moment_s)
{
    mw_text text = {0};
    mw_text plain = {0};
    if (isfinite(moment_s)) {
        mw_date_day_words(moment_s, &text);
    }
    add_cell(to, &text, &plain);
}

/* A number as machines read it: no blanks between thousands, no unit. */
static void plain_words(const report *from, const field *of, const column *where, mw_text *out)
{
    const bool number = of->kind == FIELD_VALUE && mw_error_code(of->value) == MW_CODE_COUNT &&
                        of->type != MW_TYPE_DATE && of->type != MW_TYPE_TEXT &&
                        of->type != MW_TYPE_TRUTH;
    if (of->kind == FIELD_MONEY) {
        mw_money_words(of->minor, from->digits, 0, out);
    } else if (number && !of->own_unit) {
        const int64_t units = of->fixed ? of->units
                                        : round_units(mw_job_measure(from->job), of->value,
                                                      of->unit, where->decimals);
        mw_money_words(units, where->decimals, 0, out);
    }
}

static void paper_grid(writer *to, report *from, grid *of)
{
    grid_settle(from, of);
    mw_paper_table(to->paper, mw_str_of(of->title ? of->title : ""));
    for (uint32_t c = 0; c < of->column_count; c++) {
        mw_text head = {0};
        column_words(from, &of->columns[c], &head);
        mw_paper_column_add(to->paper, (mw_str){mw_text_chars(&head), head.length},
                            of->columns[c].align == MW_RIGHT);
        to->paper->lost = to->paper->lost || head.failed;
        mw_text_free(&head);
    }
    for (uint32_t i = 0; of->column_count > 0 && i < of->field_count; i++) {
        mw_text text = {0};
        mw_text plain = {0};
        field_words(from, &of->fields[i], &of->columns[i % of->column_count], &text);
        plain_words(from, &of->fields[i], &of->columns[i % of->column_count], &plain);
        add_cell(to, &text, &plain);
    }
    if (of->has_total) {
        mw_paper_total(to->paper);
    }
}

void paper_grids(writer *to, report *from)
{
    for (uint32_t i = 0; i < from->grid_count; i++) {
        if (from->grids[i].only != GRID_SCREEN) {
            paper_grid(to, from, &from->grids[i]);
        }
    }
}

void paper_notes(writer *to, report *from)
{
    for (uint32_t i = 0; i < from->note_count; i++) {
        mw_text note = {0};
        mw_text_adds(&note, from->note_warns[i] ? "Warning: " : "");
        mw_text_add_str(&note, from->notes[i]);
        paper_take(to, MW_PAPER_SMALL, &note);
    }
}

#define WEEKS_MOST 14 /* that are marked one by one */

/* Whether a day is marked: a Monday, or the first of a month (every third of them over years). */
static bool day_marked(int32_t day, int32_t days)
{
    const mw_date date = mw_date_of_day(day);
    return days <= 7 * WEEKS_MOST ? mw_day_weekday(day) == 1
           : days <= 730          ? date.day == 1
                                  : date.day == 1 && date.month % 3 == 1;
}

void paper_days(writer *to, double from_s, double until_s)
{
    if (!mw_moment_exists(from_s) || !mw_moment_exists(until_s) || !(until_s > from_s)) {
        return;
    }
    const int32_t first = (int32_t)floor(from_s / MW_DAY_S);
    const int32_t last = (int32_t)floor(until_s / MW_DAY_S);
    for (int32_t day = first; day <= last; day++) {
        if (day_marked(day, last - first)) {
            const mw_date date = mw_date_of_day(day);
            mw_text label = {0};
            if (last - first <= 7 * WEEKS_MOST) {
                mw_text_addf(&label, "%02d-%02d", date.month, date.day);
            } else {
                mw_text_addf(&label, "%04d-%02d", date.year, date.month);
            }
            mw_paper_tick_add(to->paper, fmax(0.0, (day * MW_DAY_S - from_s) / (until_s - from_s)),
                              report_take(to->in, &label));
        }
    }
}

/* ---- by their words ---- */

static void letterhead(writer *to)
{
    const mw_shop *shop = mw_job_shop(to->in->job);
    for (uint32_t i = 0; shop && i < shop->letterhead.count; i++) {
        mw_paper_add(to->paper, MW_PAPER_LETTERHEAD, shop->letterhead.items[i]);
    }
    if (shop && shop->letterhead.count == 0) {
        mw_paper_add(to->paper, MW_PAPER_LETTERHEAD, shop->title);
    }
}

#define PICTURE_LIMIT (4U << 20)

static mw_status refuse_picture(writer *to, const mw_shop *shop, const char *path, const char *why)
{
    mw_diag *diag = mw_diags_error(to->in->diags, MW_CODE_CANNOT_READ, shop->picture_at,
                                   "the picture %s cannot be used: %s", path, why);
    mw_diag_try(to->in->diags, diag, "a PNG file beside the shop's file, of at most 4 MiB");
    return MW_FAILED;
}

/* Reads the shop's picture, which lies beside the shop's file. */
static mw_status read_picture(writer *to, const mw_shop *shop)
{
    static const char begins[] = "\x89PNG\r\n\x1a\n";
    mw_text folder = {0};
    mw_text path = {0};
    char *data = NULL;
    size_t length = 0;
    mw_path_folder(&folder, mw_sources_name(mw_job_sources(to->in->job), shop->file));
    mw_path_join(&path, (mw_str){mw_text_chars(&folder), folder.length}, shop->picture);
    mw_status status = folder.failed || path.failed
                           ? MW_NO_MEMORY
                           : mw_file_read(mw_text_chars(&path), PICTURE_LIMIT, &data, &length);
    if (status == MW_IO) {
        status = refuse_picture(to, shop, mw_text_chars(&path), strerror(errno));
    } else if (status == MW_OK &&
               (length < sizeof begins - 1 || memcmp(data, begins, sizeof begins - 1) != 0)) {
        status = refuse_picture(to, shop, mw_text_chars(&path), "it is no PNG");
    } else if (status == MW_OK) {
        char *copy = mw_arena_copy(to->paper->arena, data, length);
        to->paper->picture = (mw_str){copy, copy ? length : 0};
        status = copy ? MW_OK : MW_NO_MEMORY;
    }
    mw_memory_give(data);
    mw_text_free(&folder);
    mw_text_free(&path);
    return status;
}

static mw_status fill_paper(writer *to, uint32_t mould)
{
    const mw_request *request = &to->asked->what;
    const mw_shop *shop = mw_job_shop(to->in->job);
    mw_status status = shop && shop->picture.length > 0 ? read_picture(to, shop) : MW_OK;
    letterhead(to);
    if (status == MW_OK && to->asked->at.source != MW_NONE) {
        status = paper_risk_run(to, to->asked->at);
    }
    if (status != MW_OK) {
        return status;
    }
    if (mw_str_is(request->word, "quotation")) {
        return paper_quotation(to);
    }
    if (mw_str_is(request->word, "costing")) {
        return paper_costing(to);
    }
    if (mw_str_is(request->word, "wall")) {
        return paper_wall(to, mould);
    }
    status = report_make(to->in, request, mould);
    if (status == MW_OK) {
        paper_grids(to, to->in);
        paper_notes(to, to->in);
    }
    return status;
}

static mw_str title_of(report *in, const mw_request *request)
{
    mw_text words = {0};
    paper_name(mw_job_name(in->job), &words);
    const mw_str name = report_take(in, &words);
    if (mw_str_is(request->word, "wall")) {
        return report_text(in, "%.*s: timeline%s%.*s", (int)name.length, name.at,
                           request->argument.length ? " of " : "", (int)request->argument.length,
                           request->argument.at);
    }
    const char *word = mw_str_is(request->word, "quotation") ? "Quotation"
                       : mw_str_is(request->word, "costing") ? "Costing, for the shop only"
                                                             : NULL;
    return word ? report_text(in, "%s: %.*s", word, (int)name.length, name.at)
                : report_text(in, "%.*s: %.*s%s%.*s", (int)name.length, name.at,
                              (int)request->word.length, request->word.at,
                              request->argument.length ? " " : "", (int)request->argument.length,
                              request->argument.at);
}

mw_status mw_report_paper(mw_job *job, const mw_paper_request *asked, mw_paper **paper,
                          mw_diags *diags)
{
    const mw_request *request = &asked->what;
    uint32_t mould;
    report made;
    *paper = NULL;
    mw_status status = report_subject(job, request, &mould, diags);
    if (status != MW_OK) {
        return status;
    }
    status = report_start(&made, job, request, diags);
    if (status == MW_OK) {
        writer to = {.in = &made, .today_s = mw_job_today(job), .asked = asked};
        to.paper = *paper = mw_paper_new(title_of(&made, request));
        status = to.paper ? MW_OK : MW_NO_MEMORY;
        if (status == MW_OK) {
            to.paper->made_s = to.today_s;
            to.paper->size = asked->size;
            status = fill_paper(&to, mould);
        }
        if (status == MW_OK) {
            mw_paper_finish(to.paper);
        }
        if (status == MW_OK && (made.lost || to.paper->lost)) {
            status = MW_NO_MEMORY;
        }
    }
    report_end(&made);
    if (status != MW_OK) {
        mw_paper_free(*paper);
        *paper = NULL;
    }
    return status;
}
