/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grids gathered, parts apportioned, written as tables or JSON. */
#include "proof.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "mouldwright/memory.h"
#include "wrap.h"

static mw_unit read_unit(mw_measure *measure, const char *word)
{
    size_t used = 0;
    mw_unit unit = MW_UNIT_ONE;
    return mw_unit_read(measure, mw_str_of(word), &used, &unit) == MW_OK ? unit
                                                                         : (mw_unit)MW_UNIT_ONE;
}

mw_status report_start(report *made, mw_job *job, const mw_request *request, mw_diags *diags)
{
    mw_measure *measure = mw_job_measure(job);
    uint16_t currency = mw_money_base_of(measure);
    *made = (report){.job = job, .style = request->style, .diags = diags};
    made->arena = mw_arena_new();
    if (!made->arena) {
        return MW_NO_MEMORY;
    }
    made->word = mw_arena_copy(made->arena, request->word.at, request->word.length);
    made->digits = currency ? mw_currency_digits(measure, currency) : 2;
    made->currency = currency ? mw_currency_code(measure, currency) : "";
    made->money = currency ? read_unit(measure, made->currency) : (mw_unit)MW_UNIT_ONE;
    made->hour = read_unit(measure, "h");
    made->day = read_unit(measure, "d");
    made->percent = read_unit(measure, "%");
    return made->word ? MW_OK : MW_NO_MEMORY;
}

void report_end(report *made)
{
    for (uint32_t i = 0; i < made->grid_count; i++) {
        mw_memory_give(made->grids[i].fields);
    }
    mw_memory_give(made->notes);
    mw_memory_give(made->note_warns);
    mw_arena_free(made->arena);
}

grid *report_grid(report *in, const char *key, const char *title)
{
    grid *made = &in->grids[in->grid_count++];
    *made = (grid){.key = key, .title = title};
    return made;
}

void grid_column(grid *in, const column *wanted)
{
    in->columns[in->column_count++] = *wanted;
}

void grid_field(report *in, grid *to, const field *wanted)
{
    void *fields = to->fields;
    if (!mw_memory_grow32(&fields, &to->field_capacity, to->field_count + 1, sizeof *to->fields)) {
        in->lost = true;
        return;
    }
    to->fields = fields;
    to->fields[to->field_count++] = *wanted;
}

void grid_text(report *in, grid *to, mw_str text)
{
    field made = {.kind = FIELD_TEXT, .text = text};
    grid_field(in, to, &made);
}

void grid_none(report *in, grid *to)
{
    field made = {.kind = FIELD_NONE};
    grid_field(in, to, &made);
}

void grid_value(report *in, grid *to, double value, mw_type type, mw_unit unit)
{
    field made = {.kind = FIELD_VALUE, .value = value, .type = type, .unit = unit};
    grid_field(in, to, &made);
}

void grid_cell(report *in, grid *to, uint32_t cell)
{
    field made = {.kind = FIELD_CELL, .cell = cell};
    grid_field(in, to, &made);
}

void grid_money(report *in, grid *to, int64_t minor)
{
    field made = {.kind = FIELD_MONEY, .minor = minor};
    grid_field(in, to, &made);
}

mw_str report_text(report *in, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    char *text = length < 0 ? NULL : mw_arena_get(in->arena, (size_t)length + 1);
    if (!text) {
        in->lost = true;
        return (mw_str){0};
    }
    va_start(arguments, format);
    vsnprintf(text, (size_t)length + 1, format, arguments);
    va_end(arguments);
    return (mw_str){text, (size_t)length};
}

mw_str report_take(report *in, mw_text *text)
{
    char *copy = mw_arena_copy(in->arena, mw_text_chars(text), text->length);
    mw_str made = {copy, copy ? text->length : 0};
    in->lost = in->lost || text->failed || !copy;
    mw_text_free(text);
    return made;
}

void report_note(report *in, bool warning, mw_str text)
{
    void *notes = in->notes;
    void *warns = in->note_warns;
    if (!mw_memory_grow32(&notes, &in->note_capacity, in->note_count + 1, sizeof *in->notes)) {
        in->lost = true;
        return;
    }
    in->notes = notes;
    if (!mw_memory_grow32(&warns, &in->warn_capacity, in->note_count + 1, sizeof *in->note_warns)) {
        in->lost = true;
        return;
    }
    in->note_warns = warns;
    in->note_warns[in->note_count] = warning;
    in->notes[in->note_count++] = text;
}

/* ---- parts that add up in print ---- */

int64_t round_units(mw_measure *measure, double value, mw_unit unit, int decimals)
{
    double shown = mw_unit_from_si(measure, unit, value) * pow(10.0, decimals);
    return fabs(shown) < 9e17 ? (int64_t)llround(shown) : 0;
}

/* A part of a sum in units of the last decimal. */
typedef struct part {
    field *of;
    double exact;
    bool raised;
} part;

/* The part that loses most by being rounded down; ties to the first. */
static part *most_lost(part *parts, uint32_t count)
{
    part *found = NULL;
    for (uint32_t i = 0; i < count; i++) {
        double lost = parts[i].exact - floor(parts[i].exact);
        bool more = !found || lost > found->exact - floor(found->exact);
        found = !parts[i].raised && more ? &parts[i] : found;
    }
    return found;
}

/* Rounds parts down and then as many of them up as the total wants: largest remainders, as in
 * mw_money_split(), but parts below 0 too. What are no parts of this total stay as they are. */
static void share_out(int64_t total, part *parts, uint32_t count)
{
    int64_t rest = total;
    for (uint32_t i = 0; i < count; i++) {
        rest -= (int64_t)floor(parts[i].exact);
    }
    if (rest < 0 || rest > (int64_t)count) {
        return;
    }
    for (; rest > 0; rest--) {
        most_lost(parts, count)->raised = true;
    }
    for (uint32_t i = 0; i < count; i++) {
        parts[i].of->units = (int64_t)floor(parts[i].exact) + (parts[i].raised ? 1 : 0);
        parts[i].of->fixed = true;
    }
}

#define UNITS_MAX 9e15

/* Gives the parts of a summing column whole units that add up to those of the total. */
static void apportion_column(report *in, grid *of, uint32_t c)
{
    uint32_t rows = of->field_count / of->column_count;
    mw_measure *measure = mw_job_measure(in->job);
    part *parts = mw_arena_get(in->arena, (rows + 1) * sizeof *parts);
    if (!parts || rows < 2) {
        in->lost = in->lost || !parts;
        return;
    }
    const field *total = &of->fields[(rows - 1) * of->column_count + c];
    double scale = pow(10.0, of->columns[c].decimals);
    uint32_t count = 0;
    for (uint32_t r = 0; r + 1 < rows; r++) {
        field *item = &of->fields[r * of->column_count + c];
        if (item->kind == FIELD_VALUE) {
            double exact = mw_unit_from_si(measure, item->unit, item->value) * scale;
            if (!(fabs(exact) < UNITS_MAX)) {
                return;
            }
            parts[count++] = (part){.of = item, .exact = exact};
        }
    }
    if (total->kind == FIELD_VALUE && isfinite(total->value)) {
        share_out(round_units(measure, total->value, total->unit, of->columns[c].decimals), parts,
                  count);
    }
}

/* ---- words ---- */

static void error_words(double value, mw_text *out)
{
    mw_text_adds(out, mw_error_code(value) == MW_CODE_NEVER ? "never" : "no value");
}

static void value_field_words(const report *in, const field *of, const column *where, mw_text *out)
{
    mw_measure *measure = mw_job_measure(in->job);
    if (mw_error_code(of->value) != MW_CODE_COUNT) {
        error_words(of->value, out);
        return;
    }
    if (of->type == MW_TYPE_DATE) {
        mw_date_day_words(of->value, out);
        return;
    }
    if (of->type == MW_TYPE_TEXT) {
        mw_text_add_str(out, mw_values_text_of(mw_sheet_values(mw_job_sheet(in->job)), of->value));
        return;
    }
    if (of->type == MW_TYPE_TRUTH) {
        mw_value_words(measure, of->value, of->type, of->unit, out);
        return;
    }
    int64_t units =
        of->fixed ? of->units : round_units(measure, of->value, of->unit, where->decimals);
    mw_money_words(units, where->decimals, ' ', out);
    if (of->own_unit && of->unit != MW_UNIT_ONE) {
        mw_text_addc(out, ' ');
        mw_unit_words(measure, of->unit, out);
    }
}

void field_words(const report *in, const field *of, const column *where, mw_text *out)
{
    switch (of->kind) {
    case FIELD_NONE:
        break;
    case FIELD_TEXT:
        mw_text_add_str(out, of->text);
        break;
    case FIELD_VALUE:
        value_field_words(in, of, where, out);
        break;
    case FIELD_CELL:
        cell_words(in->job, of->cell, out);
        break;
    case FIELD_MONEY:
        mw_money_words(of->minor, in->digits, ' ', out);
        break;
    }
}

#define NARROW_COLUMNS 100

/* Whether a column is left out on this screen. */
static bool left_out(const report *in, const column *of)
{
    return of->spare && !in->style->plain && in->style->width < NARROW_COLUMNS;
}

void column_words(const report *in, const column *of, mw_text *out)
{
    mw_text_adds(out, of->head);
    if (of->unit != MW_NONE && of->unit != MW_UNIT_ONE) {
        mw_text_adds(out, out->length ? " " : "");
        mw_unit_words(mw_job_measure(in->job), of->unit, out);
    }
}

static void write_heads(report *in, const grid *of, mw_table *table, mw_text *text)
{
    for (uint32_t c = 0; c < of->column_count; c++) {
        if (left_out(in, &of->columns[c])) {
            continue;
        }
        mw_text_clear(text);
        column_words(in, &of->columns[c], text);
        in->lost = in->lost || text->failed;
        mw_table_column(table, mw_text_chars(text), of->columns[c].align);
    }
}

static void write_rows(report *in, const grid *of, mw_table *table, mw_text *text)
{
    uint32_t rows = of->column_count ? of->field_count / of->column_count : 0;
    for (uint32_t r = 0; r < rows; r++) {
        if (of->has_total && r + 1 == rows) {
            mw_table_rule(table);
        }
        for (uint32_t c = 0; c < of->column_count; c++) {
            if (left_out(in, &of->columns[c])) {
                continue;
            }
            mw_text_clear(text);
            field_words(in, &of->fields[r * of->column_count + c], &of->columns[c], text);
            in->lost = in->lost || text->failed;
            mw_table_cell(table, (mw_str){mw_text_chars(text), text->length});
        }
    }
}

static mw_status write_table(report *in, const grid *of, mw_text *out)
{
    mw_table *table = mw_table_new();
    mw_text text = {0};
    if (!table) {
        return MW_NO_MEMORY;
    }
    write_heads(in, of, table, &text);
    write_rows(in, of, table, &text);
    if (of->title) {
        mw_text_addf(out, "%s\n", of->title);
    }
    mw_status status = in->lost ? MW_NO_MEMORY : mw_table_write(table, in->style, out);
    mw_text_free(&text);
    mw_table_free(table);
    return status;
}

/* ---- JSON ---- */

void field_json(const report *in, const field *of, mw_json *json)
{
    switch (of->kind) {
    case FIELD_NONE:
        mw_json_add_null(json);
        break;
    case FIELD_TEXT:
        mw_json_add_string(json, of->text);
        break;
    case FIELD_VALUE:
        value_json(in->job, of->value, of->type, of->unit, json);
        break;
    case FIELD_CELL:
        cell_json(in->job, of->cell, json);
        break;
    case FIELD_MONEY:
        mw_json_open(json, '{');
        mw_json_key(json, "value");
        mw_json_add_number(json, (double)of->minor / pow(10.0, in->digits));
        mw_json_key(json, "unit");
        mw_json_add_string(json, mw_str_of(in->currency));
        mw_json_close(json, '}');
        break;
    }
}

static void row_json(const report *in, const grid *of, uint32_t row, mw_json *json)
{
    mw_json_open(json, '{');
    for (uint32_t c = 0; c < of->column_count; c++) {
        mw_json_key(json, of->columns[c].key);
        field_json(in, &of->fields[row * of->column_count + c], json);
    }
    mw_json_close(json, '}');
}

static void grid_json(const report *in, const grid *of, mw_json *json)
{
    uint32_t rows = of->column_count ? of->field_count / of->column_count : 0;
    uint32_t parts = rows - (of->has_total && rows > 0 ? 1 : 0);
    mw_json_key(json, of->key);
    mw_json_open(json, '[');
    for (uint32_t r = 0; r < parts; r++) {
        row_json(in, of, r, json);
    }
    mw_json_close(json, ']');
    if (parts < rows) {
        mw_text key = {0};
        mw_text_addf(&key, "%s_total", of->key);
        mw_json_key(json, mw_text_chars(&key));
        json->out->failed = json->out->failed || key.failed;
        mw_text_free(&key);
        row_json(in, of, parts, json);
    }
}

static mw_status write_json(const report *in, mw_text *out)
{
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "report");
    mw_json_add_string(&json, mw_str_of(in->word));
    mw_json_key(&json, "currency");
    mw_json_add_string(&json, mw_str_of(in->currency));
    if (in->has_proof) {
        mw_json_key(&json, "plan");
        mw_json_open(&json, '{');
        proof_json(in->job, &in->proof, &json);
        mw_json_close(&json, '}');
    }
    for (uint32_t i = 0; i < in->grid_count; i++) {
        if (in->grids[i].only != GRID_SCREEN) {
            grid_json(in, &in->grids[i], &json);
        }
    }
    for (int warnings = 1; warnings >= 0; warnings--) {
        mw_json_key(&json, warnings ? "warnings" : "notes");
        mw_json_open(&json, '[');
        for (uint32_t i = 0; i < in->note_count; i++) {
            if (in->note_warns[i] == (warnings == 1)) {
                mw_json_add_string(&json, in->notes[i]);
            }
        }
        mw_json_close(&json, ']');
    }
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
    return out->failed ? MW_NO_MEMORY : MW_OK;
}

static void write_note(mw_str text, bool warns, size_t width, mw_text *out)
{
    const mw_str first = mw_str_of(warns ? "warning: " : "");
    mw_text_add_str(out, first);
    wrapping note = {.out = out, .width = width, .indent = 2, .used = first.length};
    wrap_words(&note, text);
    mw_text_addc(out, '\n');
}

void grid_settle(report *in, grid *of)
{
    for (uint32_t c = 0; c < of->column_count && of->has_total; c++) {
        if (of->columns[c].sums) {
            apportion_column(in, of, c);
        }
    }
}

mw_status report_write(report *in, mw_text *out)
{
    if (in->lost) {
        return MW_NO_MEMORY;
    }
    if (in->style->json) {
        return write_json(in, out);
    }
    mw_status status = MW_OK;
    size_t before = out->length;
    mw_text_add_str(out, in->drawing);
    for (uint32_t i = 0; i < in->grid_count && status == MW_OK; i++) {
        grid *of = &in->grids[i];
        if (of->only == GRID_JSON || (of->only == GRID_SCREEN && of->field_count == 0)) {
            continue;
        }
        grid_settle(in, of);
        mw_text_adds(out, out->length > before ? "\n" : "");
        status = write_table(in, of, out);
    }
    for (uint32_t i = 0; i < in->note_count; i++) {
        write_note(in->notes[i], in->note_warns[i], in->style->width, out);
    }
    return out->failed || in->lost ? MW_NO_MEMORY : status;
}
