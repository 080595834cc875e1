/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Alternatives of a what-if side by side, with the difference to the job as it stands. */
#include "reply.h"

#include <math.h>

#define NAME_COLUMNS   23
#define VALUE_COLUMNS  12
#define MOMENT_COLUMNS 18

static bool is_money(mw_job *job, const mw_what_if_row *row)
{
    return mw_type_look(mw_job_measure(job), row->type)->exponent[MW_MONEY] == MW_EXPONENT_ONE;
}

/* A value without its unit, which stands beside the name. */
static void short_value(mw_job *job, const mw_what_if_row *row, double value, mw_text *out)
{
    mw_measure *measure = mw_job_measure(job);
    if (mw_error_code(value) != MW_CODE_COUNT) {
        mw_text_adds(out, "none");
    } else if (row->type == MW_TYPE_DATE) {
        mw_date_words(floor(value / MW_DAY_S) * MW_DAY_S, out);
    } else if (row->type == MW_TYPE_TEXT || row->type == MW_TYPE_TRUTH) {
        reply_value_words(job, value, row->type, row->unit, out);
    } else if (is_money(job, row) && !row->input) {
        mw_number_fixed(mw_unit_from_si(measure, row->unit, value),
                        mw_currency_digits(measure, mw_money_base_of(measure)), ' ', out);
    } else {
        mw_number_short(mw_unit_from_si(measure, row->unit, value), row->input ? 6 : 4, ' ', out);
    }
}

/* By how much a value differs from that of the job: a date in days, or in hours within one day. */
static void difference(mw_job *job, const mw_what_if_row *row, double value, mw_text *out)
{
    mw_measure *measure = mw_job_measure(job);
    if (!isfinite(value) || !isfinite(row->now) || value == row->now) {
        mw_text_adds(out, value == row->now ? "=" : "");
        return;
    }
    double by = value - row->now;
    mw_text_adds(out, by > 0.0 ? "+" : "");
    if (row->type == MW_TYPE_DATE) {
        double days = floor(value / MW_DAY_S) - floor(row->now / MW_DAY_S);
        mw_number_fixed(days != 0.0 ? days : by / 3600.0, days != 0.0 ? 0 : 1, ' ', out);
        mw_text_adds(out, days != 0.0 ? " d" : " h");
    } else if (is_money(job, row)) {
        mw_number_fixed(by / mw_unit_scale(measure, row->unit),
                        mw_currency_digits(measure, mw_money_base_of(measure)), ' ', out);
    } else {
        mw_number_short(by / mw_unit_scale(measure, row->unit), 4, ' ', out);
    }
}

static bool has_percent(const mw_what_if_row *row, double value)
{
    return row->type != MW_TYPE_DATE && row->type != MW_TYPE_DEGREES && isfinite(value) &&
           isfinite(row->now) && row->now != 0.0 && value != row->now;
}

static void percent(const mw_what_if_row *row, double value, mw_text *out)
{
    if (has_percent(row, value)) {
        double share = (value / row->now - 1.0) * 100.0;
        mw_text_adds(out, share > 0.0 ? "+" : "");
        mw_number_fixed(share, 1, ' ', out);
        mw_text_adds(out, " %");
    }
}

/* A figure of a choice: dates to the minute, since hours may decide. */
static void choice_value(mw_job *job, const mw_what_if_row *row, double value, mw_text *out)
{
    if (row->type == MW_TYPE_DATE && mw_error_code(value) == MW_CODE_COUNT) {
        mw_date_words(round(value / 60.0) * 60.0, out);
    } else {
        short_value(job, row, value, out);
    }
}

static bool numeric(const mw_what_if_row *row)
{
    return row->type != MW_TYPE_TEXT && row->type != MW_TYPE_TRUTH;
}

/* Texts of a table that is being made, and whether one was lost. */
typedef struct cell_writer {
    mw_table *table;
    mw_text text;
    bool lost;
} cell_writer;

static void cell_of(cell_writer *writer)
{
    writer->lost = writer->lost || writer->text.failed;
    mw_table_cell(writer->table, (mw_str){mw_text_chars(&writer->text), writer->text.length});
    mw_text_clear(&writer->text);
}

/* A column whose head is what was written. */
static void column_of(cell_writer *writer)
{
    writer->lost = writer->lost || writer->text.failed;
    mw_table_column(writer->table, mw_text_chars(&writer->text), MW_RIGHT);
    mw_text_clear(&writer->text);
}

/* `thickness mm`: names of the one mould that is looked at without the mould. */
static void name_words(mw_job *job, const mw_what_if_row *row, mw_text *out)
{
    mw_text_add_str(out, row->name);
    if (row->unit != MW_UNIT_ONE && numeric(row) && row->type != MW_TYPE_DATE) {
        mw_text_addc(out, ' ');
        mw_unit_words(mw_job_measure(job), row->unit, out);
    }
}

/* `704.68 (-287.16, -29.0 %)` where one record stands below the other. */
static void record_value(mw_job *job, const mw_what_if_row *row, double value, mw_text *out)
{
    short_value(job, row, value, out);
    if (!row->input && numeric(row)) {
        size_t before = out->length;
        mw_text_adds(out, " (");
        difference(job, row, value, out);
        if (has_percent(row, value)) {
            mw_text_adds(out, ", ");
            percent(row, value, out);
        }
        if (out->length == before + 2) {
            out->length = before;
        } else {
            mw_text_addc(out, ')');
        }
    }
}

/* Alternatives `from` up to `until` of the rows. */
typedef struct block_of {
    uint32_t from, until;
    bool records; /* too narrow for columns, or plain */
    bool bare;    /* without differences */
} block_of;

/* Below the values: by how much they differ, and by how many per cent. */
static void difference_rows(mw_job *job, const mw_what_if_row *row, block_of of,
                            cell_writer *writer)
{
    bool percents = false;
    cell_of(writer);
    cell_of(writer);
    for (uint32_t c = of.from; c < of.until; c++) {
        difference(job, row, row->values[c], &writer->text);
        cell_of(writer);
        percents = percents || has_percent(row, row->values[c]);
    }
    if (!percents) {
        return;
    }
    cell_of(writer);
    cell_of(writer);
    for (uint32_t c = of.from; c < of.until; c++) {
        percent(row, row->values[c], &writer->text);
        cell_of(writer);
    }
}

/* Whether some value of a block is another than that of the job. */
static bool differs(const mw_what_if_row *row, block_of of)
{
    bool other = false;
    for (uint32_t c = of.from; c < of.until; c++) {
        other = other || row->values[c] != row->now;
    }
    return other;
}

static void row_of_block(mw_job *job, const mw_what_if_row *row, block_of of, cell_writer *writer)
{
    mw_text *text = &writer->text;
    name_words(job, row, text);
    cell_of(writer);
    if (of.bare) {
        choice_value(job, row, row->now, text);
    } else {
        short_value(job, row, row->now, text);
    }
    cell_of(writer);
    for (uint32_t c = of.from; c < of.until; c++) {
        if (of.bare) {
            choice_value(job, row, row->values[c], text);
        } else if (of.records) {
            record_value(job, row, row->values[c], text);
        } else {
            short_value(job, row, row->values[c], text);
        }
        cell_of(writer);
    }
    if (!of.records && !of.bare && !row->input && numeric(row) && differs(row, of)) {
        difference_rows(job, row, of, writer);
    }
}

/* `(2)`, or the name that it is saved under. */
static void head_words(const mw_reply *reply, uint32_t c, mw_text *out)
{
    if (reply->heads) {
        mw_text_add_str(out, reply->heads[c]);
    } else {
        mw_text_addf(out, "(%u)", (unsigned)c + 1);
    }
}

/* A figure that nobody asked for and that is 0 everywhere: no pots are mixed, nothing sags. */
static bool is_idle(const mw_what_if_row *row, uint32_t columns)
{
    bool idle = !row->input && !row->goal && numeric(row) && row->now == 0.0;
    for (uint32_t c = 0; idle && c < columns; c++) {
        idle = row->values[c] == 0.0;
    }
    return idle;
}

static mw_status block(mw_job *job, const mw_reply *reply, block_of of, mw_table *table)
{
    cell_writer writer = {.table = table};
    mw_table_column(table, reply->weighed ? "choice" : "what if", MW_LEFT);
    mw_table_column(table, "now", MW_RIGHT);
    for (uint32_t c = of.from; c < of.until; c++) {
        head_words(reply, c, &writer.text);
        column_of(&writer);
    }
    for (uint32_t r = 0; r < reply->row_count; r++) {
        if (!is_idle(&reply->rows[r], reply->column_count)) {
            row_of_block(job, &reply->rows[r], of, &writer);
        }
    }
    mw_text_free(&writer.text);
    return writer.lost ? MW_NO_MEMORY : MW_OK;
}

#define BLOCK_MOST 64

static mw_status words(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    const uint32_t each = reply->weighed ? MOMENT_COLUMNS : VALUE_COLUMNS;
    uint32_t columns = style->width > NAME_COLUMNS ? (style->width - NAME_COLUMNS) / each : 0;
    bool records = style->plain || columns < 2;
    uint32_t room = records || columns > BLOCK_MOST ? BLOCK_MOST : columns - 1;
    mw_style look = *style;
    look.plain = records;
    mw_status status = MW_OK;
    for (uint32_t from = 0; from < reply->column_count && status == MW_OK; from += room) {
        uint32_t until = from + room < reply->column_count ? from + room : reply->column_count;
        mw_table *table = mw_table_new();
        if (!table) {
            return MW_NO_MEMORY;
        }
        mw_text_adds(out, from ? "\n" : "");
        status = block(job, reply, (block_of){from, until, records, reply->weighed}, table);
        if (status == MW_OK) {
            status = mw_table_write(table, &look, out);
        }
        mw_table_free(table);
    }
    return status;
}

/* ---- weighing ---- */

/* One choice, or the job as it stands (`c` is the number of choices). */
static void choice_row(mw_job *job, const mw_reply *reply, uint32_t c, cell_writer *writer)
{
    bool now = c == reply->column_count;
    mw_text *text = &writer->text;
    if (now) {
        mw_text_adds(text, "now");
    } else {
        head_words(reply, c, text);
    }
    cell_of(writer);
    for (uint32_t r = 0; r < reply->row_count; r++) {
        const mw_what_if_row *row = &reply->rows[r];
        choice_value(job, row, now ? row->now : row->values[c], text);
        cell_of(writer);
    }
    if (!now && reply->alike[c] > 0) {
        mw_text_addf(text, "%u", (unsigned)reply->alike[c]);
    }
    cell_of(writer);
}

static mw_status weighed_table(mw_job *job, const mw_reply *reply, mw_table *table)
{
    cell_writer writer = {.table = table};
    mw_table_column(table, "choice", MW_LEFT);
    for (uint32_t r = 0; r < reply->row_count; r++) {
        name_words(job, &reply->rows[r], &writer.text);
        column_of(&writer);
    }
    mw_table_column(table, "alike", MW_RIGHT);
    for (uint32_t c = 0; c <= reply->column_count; c++) {
        if (c == reply->column_count) {
            mw_table_rule(table);
        }
        choice_row(job, reply, c, &writer);
    }
    bool lost = writer.lost || writer.text.failed;
    mw_text_free(&writer.text);
    return lost ? MW_NO_MEMORY : MW_OK;
}

/* The columns that the longest line of a text takes. */
static size_t widest(mw_str text)
{
    size_t most = 0;
    size_t begin = 0;
    for (size_t i = 0; i <= text.length; i++) {
        if (i == text.length || text.at[i] == '\n') {
            size_t width = mw_utf8_columns((mw_str){text.at + begin, i - begin});
            most = width > most ? width : most;
            begin = i + 1;
        }
    }
    return most;
}

/* A row a choice where that fits, else a column a choice. */
static mw_status weighed_words(mw_job *job, const mw_reply *reply, const mw_style *style,
                               mw_text *out)
{
    mw_style wide = *style;
    wide.width = style->plain ? style->width : 4096;
    mw_text rows = {0};
    mw_table *table = mw_table_new();
    mw_status status = table ? weighed_table(job, reply, table) : MW_NO_MEMORY;
    if (status == MW_OK) {
        status = mw_table_write(table, &wide, &rows);
    }
    mw_table_free(table);
    mw_str text = {mw_text_chars(&rows), rows.length};
    if (status == MW_OK && (style->plain || widest(text) <= style->width)) {
        mw_text_add_str(out, text);
    } else if (status == MW_OK) {
        status = words(job, reply, style, out);
    }
    status = rows.failed ? MW_NO_MEMORY : status;
    mw_text_free(&rows);
    mw_text_addf(out, "  %u choices tried; %u beaten by no other%s\n", (unsigned)reply->tried,
                 (unsigned)reply->column_count,
                 reply->column_count > 0 ? "; `keep 1` takes the first" : "");
    return status;
}

static bool ends_with(mw_str text, const char *end)
{
    const mw_str wanted = mw_str_of(end);
    return text.length >= wanted.length &&
           mw_str_equal((mw_str){text.at + text.length - wanted.length, wanted.length}, wanted);
}

/* Whether a stiffness or a sag is among the rows: figures that somebody might take for a proof. */
static bool tells_stiffness(const mw_reply *reply)
{
    for (uint32_t r = 0; r < reply->row_count; r++) {
        const mw_str name = reply->rows[r].name;
        if (ends_with(name, ".bending_stiffness") || ends_with(name, ".sag")) {
            return true;
        }
    }
    return false;
}

/* What each value is above that of the job, in the unit of the row (of dates in days), and in per cent. */
static void differences_json(mw_job *job, const mw_what_if_row *row, uint32_t columns,
                             mw_json *json)
{
    const double scale =
        row->type == MW_TYPE_DATE ? MW_DAY_S : mw_unit_scale(mw_job_measure(job), row->unit);
    mw_json_key(json, "differences");
    mw_json_open(json, '[');
    for (uint32_t c = 0; c < columns; c++) {
        mw_json_add_number(json, (row->values[c] - row->now) / scale);
    }
    mw_json_close(json, ']');
    mw_json_key(json, "percents");
    mw_json_open(json, '[');
    for (uint32_t c = 0; c < columns; c++) {
        bool same = row->values[c] == row->now;
        mw_json_add_number(json, has_percent(row, row->values[c])
                                     ? (row->values[c] / row->now - 1.0) * 100.0
                                 : same ? 0.0
                                        : (double)NAN);
    }
    mw_json_close(json, ']');
}

static void row_json(mw_job *job, const mw_what_if_row *row, uint32_t columns, mw_json *json)
{
    mw_json_open(json, '{');
    mw_json_key(json, "name");
    mw_json_add_string(json, row->name);
    mw_json_key(json, "input");
    mw_json_add_truth(json, row->input);
    mw_json_key(json, "now");
    value_json(job, row->now, row->type, row->unit, json);
    mw_json_key(json, "values");
    mw_json_open(json, '[');
    for (uint32_t c = 0; c < columns; c++) {
        value_json(job, row->values[c], row->type, row->unit, json);
    }
    mw_json_close(json, ']');
    if (!row->input && numeric(row)) {
        differences_json(job, row, columns, json);
    }
    mw_json_close(json, '}');
}

static void weighed_json(const mw_reply *reply, mw_json *json)
{
    mw_json_key(json, "tried");
    mw_json_add_integer(json, reply->tried);
    mw_json_key(json, "alike");
    mw_json_open(json, '[');
    for (uint32_t c = 0; c < reply->column_count; c++) {
        mw_json_add_integer(json, reply->alike[c]);
    }
    mw_json_close(json, ']');
}

mw_status reply_what_if(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    if (!style->json) {
        mw_status status =
            reply->weighed ? weighed_words(job, reply, style, out) : words(job, reply, style, out);
        if (tells_stiffness(reply)) {
            mw_text_adds(out, "  stiffness and sag compare lay-ups; they approve nothing\n");
        }
        if (style->count) {
            mw_text_addf(out, "  computed %llu values\n",
                         (unsigned long long)reply->changes.computed);
        }
        return out->failed ? MW_NO_MEMORY : status;
    }
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "what_if");
    mw_json_add_integer(&json, reply->column_count);
    if (reply->heads) {
        mw_json_key(&json, "names");
        mw_json_open(&json, '[');
        for (uint32_t c = 0; c < reply->column_count; c++) {
            mw_json_add_string(&json, reply->heads[c]);
        }
        mw_json_close(&json, ']');
    }
    if (reply->weighed) {
        weighed_json(reply, &json);
    }
    mw_json_key(&json, "rows");
    mw_json_open(&json, '[');
    for (uint32_t r = 0; r < reply->row_count; r++) {
        row_json(job, &reply->rows[r], reply->column_count, &json);
    }
    mw_json_close(&json, ']');
    mw_json_key(&json, "computed");
    mw_json_add_integer(&json, (int64_t)reply->changes.computed);
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
    return out->failed ? MW_NO_MEMORY : MW_OK;
}
