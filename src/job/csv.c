/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A list of moulds as comma-separated values (RFC 4180; semicolons too): a head of field names, some with a unit, then a
 * mould a line. */
#include "parts.h"

#include <string.h>

#include "mouldwright/memory.h"
#include "mouldwright/number.h"
#include "mouldwright/suggest.h"

#define CSV_COLUMNS_MAX 64

/* A cell: where its text stands, and the text (a copy only where quotes were doubled). */
typedef struct csv_cell {
    mw_span at;
    mw_str text;
} csv_cell;

typedef struct csv_column {
    mw_str name;
    mw_span at;
    mw_unit unit; /* MW_NONE: none in the head */
} csv_column;

/* A list being read. */
typedef struct csv_reader {
    mw_job *job;
    uint32_t source;
    mw_str text;
    size_t at;
    char separator;
    csv_column columns[CSV_COLUMNS_MAX];
    uint32_t column_count;
    csv_cell cells[CSV_COLUMNS_MAX];
    uint32_t cell_count;
    mw_diags *diags;
    bool heads_lost; /* not all columns are understood: of the moulds only the names are known */
    bool lost;
} csv_reader;

static mw_span span_of(const csv_reader *on, size_t begin, size_t end)
{
    return (mw_span){on->source, (uint32_t)begin, (uint32_t)end};
}

/* Takes doubled quotes out of a quoted cell. */
static mw_str unquoted(csv_reader *on, mw_str raw)
{
    if (!memchr(raw.at, '"', raw.length)) {
        return raw;
    }
    char *copy = mw_arena_get(on->job->arena, raw.length + 1);
    size_t length = 0;
    on->lost = on->lost || !copy;
    for (size_t i = 0; copy && i < raw.length; i++) {
        copy[length++] = raw.at[i];
        i += raw.at[i] == '"';
    }
    return (mw_str){copy, copy ? length : 0};
}

static bool at_end(const csv_reader *on)
{
    return on->at >= on->text.length;
}

static mw_status read_quoted(csv_reader *on, csv_cell *cell)
{
    size_t begin = ++on->at;
    while (!at_end(on)) {
        bool quote = on->text.at[on->at] == '"';
        bool twice = quote && on->at + 1 < on->text.length && on->text.at[on->at + 1] == '"';
        if (quote && !twice) {
            break;
        }
        on->at += twice ? 2 : 1;
    }
    if (at_end(on)) {
        mw_diags_error(on->diags, MW_CODE_UNCLOSED, span_of(on, begin - 1, begin),
                       "this quote is not closed");
        return MW_FAILED;
    }
    cell->at = span_of(on, begin, on->at);
    cell->text = unquoted(on, (mw_str){on->text.at + begin, on->at - begin});
    on->at++;
    while (!at_end(on) && (on->text.at[on->at] == ' ' || on->text.at[on->at] == '\t')) {
        on->at++;
    }
    return MW_OK;
}

static void read_bare(csv_reader *on, csv_cell *cell)
{
    size_t begin = on->at;
    while (!at_end(on) && on->text.at[on->at] != on->separator && on->text.at[on->at] != '\n') {
        on->at++;
    }
    mw_str raw = mw_str_trim((mw_str){on->text.at + begin, on->at - begin});
    size_t first = raw.length ? (size_t)(raw.at - on->text.at) : begin;
    cell->at = span_of(on, first, first + raw.length);
    cell->text = raw;
}

/* Reads a line into cells; MW_NOT_FOUND at the end of the text. */
static mw_status read_row(csv_reader *on)
{
    on->cell_count = 0;
    if (at_end(on)) {
        return MW_NOT_FOUND;
    }
    for (;;) {
        csv_cell cell = {0};
        while (!at_end(on) && (on->text.at[on->at] == ' ' || on->text.at[on->at] == '\t')) {
            on->at++;
        }
        if (!at_end(on) && on->text.at[on->at] == '"') {
            mw_status status = read_quoted(on, &cell);
            if (status != MW_OK) {
                return status;
            }
        } else {
            read_bare(on, &cell);
        }
        if (on->cell_count == CSV_COLUMNS_MAX) {
            mw_diags_error(on->diags, MW_CODE_CSV_FORM, cell.at, "more than %d columns",
                           CSV_COLUMNS_MAX);
            return MW_FAILED;
        }
        on->cells[on->cell_count++] = cell;
        if (!at_end(on) && on->text.at[on->at] == '\r') {
            on->at++;
        }
        if (at_end(on) || on->text.at[on->at] == '\n') {
            on->at += !at_end(on);
            return MW_OK;
        }
        if (on->text.at[on->at] != on->separator) {
            mw_diags_error(on->diags, MW_CODE_CSV_FORM, span_of(on, on->at, on->at + 1),
                           "after a quoted text comes `%c` or the end of the line", on->separator);
            return MW_FAILED;
        }
        on->at++;
    }
}

/* `area [m2]` */
static mw_status read_head(csv_reader *on, const csv_cell *cell)
{
    csv_column *column = &on->columns[on->column_count++];
    mw_str text = cell->text;
    *column = (csv_column){.name = text, .at = cell->at, .unit = MW_NONE};
    const char *open = text.length ? memchr(text.at, '[', text.length) : NULL;
    if (!open) {
        return MW_OK;
    }
    size_t before = (size_t)(open - text.at);
    column->name = mw_str_trim((mw_str){text.at, before});
    mw_str unit = {open + 1, text.length - before - 1};
    if (unit.length == 0 || unit.at[unit.length - 1] != ']') {
        mw_diags_error(on->diags, MW_CODE_UNCLOSED, cell->at,
                       "the bracket of the unit is not closed");
        return MW_FAILED;
    }
    unit.length--;
    unit = mw_str_trim(unit);
    size_t used = 0;
    if (mw_unit_read(on->job->measure, unit, &used, &column->unit) != MW_OK ||
        used != unit.length) {
        if (on->job->opening && on->job->shop_unseen) {
            return MW_FAILED; /* it may be a unit of the shop */
        }
        mw_diag *diag = mw_diags_error(on->diags, MW_CODE_UNKNOWN_UNIT, cell->at,
                                       "`%.*s` is no unit", (int)unit.length, unit.at);
        mw_suggest nearest;
        mw_suggest_start(&nearest, unit);
        mw_unit_suggest(on->job->measure, &nearest);
        if (nearest.best.length > 0) {
            mw_diag_try(on->diags, diag, "%.*s", (int)nearest.best.length, nearest.best.at);
        }
        return MW_FAILED;
    }
    return MW_OK;
}

static mw_status check_column(csv_reader *on, uint32_t at)
{
    const csv_column *column = &on->columns[at];
    for (uint32_t k = 0; k < at; k++) {
        if (mw_str_equal(on->columns[k].name, column->name)) {
            mw_diag *diag = mw_diags_error(on->diags, MW_CODE_NAME_TWICE, column->at,
                                           "this column stands twice");
            mw_diag_other(on->diags, diag, on->columns[k].at, "the other one");
            return MW_FAILED;
        }
    }
    return MW_OK;
}

static mw_status read_heads(csv_reader *on)
{
    mw_status status = read_row(on);
    if (status == MW_NOT_FOUND) {
        mw_diags_error(on->diags, MW_CODE_CSV_FORM, span_of(on, 0, 0), "the list is empty");
        return MW_FAILED;
    }
    for (uint32_t i = 0; status != MW_FAILED && i < on->cell_count; i++) {
        on->heads_lost = read_head(on, &on->cells[i]) != MW_OK || on->heads_lost;
        on->heads_lost = check_column(on, i) != MW_OK || on->heads_lost;
    }
    return status;
}

/* A number alone under a head with a unit takes that unit. */
static mw_status fill_field(csv_reader *on, const csv_column *column, const csv_cell *cell,
                            entry_field *field)
{
    *field = (entry_field){.name = column->name,
                           .name_at = column->at,
                           .value = cell->at,
                           .head_unit = MW_NONE,
                           .quoted = true};
    if (column->unit == MW_NONE) {
        return MW_OK;
    }
    bool minus = cell->text.at[0] == '-';
    mw_str digits = {cell->text.at + minus, cell->text.length - minus};
    double number = 0.0;
    size_t used = mw_number_read(digits, &number);
    if (used == digits.length && used > 0) {
        field->head_unit = column->unit;
        field->number = minus ? -number : number;
    } else if (used > 0 && used < digits.length && digits.at[used] == ',') {
        mw_diag *diag =
            mw_diags_error(on->diags, MW_CODE_DECIMAL_COMMA, cell->at, "a comma inside a number");
        mw_diag_try(on->diags, diag, "write the decimal point");
        return MW_FAILED;
    }
    return MW_OK;
}

static uint32_t find_column(const csv_reader *on, const char *name)
{
    for (uint32_t i = 0; i < on->column_count; i++) {
        if (mw_str_is(on->columns[i].name, name)) {
            return i;
        }
    }
    return MW_NONE;
}

static mw_status refuse_row(csv_reader *on)
{
    mw_diags_error(on->diags, MW_CODE_CSV_FORM, on->cells[0].at, "%u cells, but the head has %u",
                   (unsigned)on->cell_count, (unsigned)on->column_count);
    return MW_FAILED;
}

/* Takes the cells of a row. */
static mw_status fill_fields(csv_reader *on, uint32_t name_column, entry *made, entry_field *fields)
{
    if (on->cell_count > on->column_count) {
        return refuse_row(on);
    }
    mw_status status = on->heads_lost ? MW_FAILED : MW_OK;
    for (uint32_t i = 0; !on->heads_lost && i < on->cell_count; i++) {
        if (i != name_column && on->cells[i].text.length > 0) {
            mw_status one =
                fill_field(on, &on->columns[i], &on->cells[i], &fields[made->field_count++]);
            status = one != MW_OK ? one : status;
        }
    }
    return status;
}

static mw_status make_mould(csv_reader *on, uint32_t name_column, entry_list *list)
{
    mw_job *job = on->job;
    entry *made = mw_arena_get(job->arena, sizeof *made);
    entry_field *fields = mw_arena_get(job->arena, (on->cell_count + 1) * sizeof *fields);
    const csv_cell *name = &on->cells[name_column];
    if (!made || !fields) {
        return MW_NO_MEMORY;
    }
    if (!mw_is_name(name->text)) {
        mw_diag *diag = mw_diags_error(on->diags, MW_CODE_CSV_FORM, name->at,
                                       "`%.*s` cannot be the name of a mould",
                                       (int)name->text.length, name->text.at);
        mw_diag_try(on->diags, diag, "a letter first, then letters, digits and _");
        return MW_FAILED;
    }
    *made = (entry){.kind = ENTRY_MOULD,
                    .from = job->importing,
                    .span = name->at,
                    .name = name->text,
                    .name_at = name->at,
                    .fields = fields};
    mw_status status = fill_fields(on, name_column, made, fields);
    made->broken = status != MW_OK;
    char *key = mw_arena_print(job->arena, "mould %.*s", (int)name->text.length, name->text.at);
    made->key = mw_str_of(key);
    if (!key) {
        return MW_NO_MEMORY;
    }
    mw_status added = document_add(list, made);
    return added == MW_OK ? status : added;
}

static mw_status read_moulds(csv_reader *on, entry_list *list)
{
    mw_status status = read_heads(on);
    if (status != MW_OK) {
        on->job->unseen = true;
        return status;
    }
    uint32_t name_column = find_column(on, "name");
    if (name_column == MW_NONE) {
        on->job->unseen = true;
        mw_diags_error(on->diags, MW_CODE_CSV_FORM, on->columns[0].at,
                       "the head of the list needs a column `name`");
        return MW_FAILED;
    }
    mw_status worst = on->heads_lost ? MW_FAILED : MW_OK;
    while (worst != MW_NO_MEMORY && (status = read_row(on)) == MW_OK) {
        bool blank = on->cell_count == 1 && on->cells[0].text.length == 0;
        if (blank) {
            continue;
        }
        mw_status one =
            on->cell_count <= name_column ? refuse_row(on) : make_mould(on, name_column, list);
        worst = one != MW_OK ? one : worst;
    }
    on->job->unseen = on->job->unseen || status == MW_FAILED; /* the rest was not read */
    return status == MW_NOT_FOUND ? worst : status;
}

mw_status csv_moulds(mw_job *job, const char *path, mw_span at, entry_list *list, mw_diags *diags)
{
    csv_reader *on = mw_memory_get(sizeof *on);
    if (!on) {
        return MW_NO_MEMORY;
    }
    on->job = job;
    on->diags = diags;
    mw_status status = job_read_source(job, path, at, &on->source, diags);
    job->unseen = job->unseen || status != MW_OK;
    if (status == MW_OK) {
        on->text = mw_sources_text(job->sources, on->source);
        bool marked = on->text.length >= 3 && memcmp(on->text.at, "\xef\xbb\xbf", 3) == 0;
        on->at = marked ? 3 : 0; /* a byte order mark */
        size_t head = 0;
        while (head < on->text.length && on->text.at[head] != '\n') {
            head++;
        }
        bool comma = memchr(on->text.at, ',', head) != NULL;
        on->separator = !comma && memchr(on->text.at, ';', head) ? ';' : ',';
        status = read_moulds(on, list);
        status = on->lost ? MW_NO_MEMORY : status;
    }
    mw_memory_give(on);
    return status;
}
