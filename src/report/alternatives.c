/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Alternatives of a what-if side by side, with the difference to the job as it stands. */
#include "reply.h"

#include <math.h>
#include <stdio.h>

#define NAME_COLUMNS  23
#define VALUE_COLUMNS 12

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
    } else if (mw_type_look(measure, row->type)->exponent[MW_MONEY] == MW_EXPONENT_ONE &&
               !row->input) {
        mw_number_fixed(mw_unit_from_si(measure, row->unit, value),
                        mw_currency_digits(measure, mw_money_base_of(measure)), ' ', out);
    } else {
        mw_number_short(mw_unit_from_si(measure, row->unit, value), row->input ? 6 : 4, ' ', out);
    }
}

static void difference(const mw_what_if_row *row, double value, mw_text *out)
{
    if (!isfinite(value) || !isfinite(row->now) || value == row->now) {
        mw_text_adds(out, value == row->now ? "=" : "");
        return;
    }
    if (row->type == MW_TYPE_DATE) {
        mw_text_adds(out, value > row->now ? "+" : "");
        mw_number_fixed(floor(value / MW_DAY_S) - floor(row->now / MW_DAY_S), 0, ' ', out);
        mw_text_adds(out, " d");
    } else if (row->now != 0.0) {
        double share = (value / row->now - 1.0) * 100.0;
        mw_text_adds(out, share > 0.0 ? "+" : "");
        mw_number_fixed(share, 1, ' ', out);
        mw_text_adds(out, " %");
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

/* `thickness mm`: names of the one mould that is looked at without the mould. */
static void name_words(mw_job *job, const mw_what_if_row *row, mw_text *out)
{
    mw_text_add_str(out, row->name);
    if (row->unit != MW_UNIT_ONE && numeric(row) && row->type != MW_TYPE_DATE) {
        mw_text_addc(out, ' ');
        mw_unit_words(mw_job_measure(job), row->unit, out);
    }
}

/* `704.68 (-29.0 %)` where one record stands below the other. */
static void record_value(mw_job *job, const mw_what_if_row *row, double value, mw_text *out)
{
    short_value(job, row, value, out);
    if (!row->input && numeric(row)) {
        size_t before = out->length;
        mw_text_adds(out, " (");
        difference(row, value, out);
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
} block_of;

static void row_of_block(mw_job *job, const mw_what_if_row *row, block_of of, cell_writer *writer)
{
    mw_text *text = &writer->text;
    name_words(job, row, text);
    cell_of(writer);
    short_value(job, row, row->now, text);
    cell_of(writer);
    for (uint32_t c = of.from; c < of.until; c++) {
        if (of.records) {
            record_value(job, row, row->values[c], text);
        } else {
            short_value(job, row, row->values[c], text);
        }
        cell_of(writer);
    }
    if (!of.records && !row->input && numeric(row)) {
        cell_of(writer);
        cell_of(writer);
        for (uint32_t c = of.from; c < of.until; c++) {
            difference(row, row->values[c], text);
            cell_of(writer);
        }
    }
}

static mw_status block(mw_job *job, const mw_reply *reply, block_of of, mw_table *table)
{
    cell_writer writer = {.table = table};
    mw_table_column(table, "what if", MW_LEFT);
    mw_table_column(table, "now", MW_RIGHT);
    for (uint32_t c = of.from; c < of.until; c++) {
        char head[16];
        snprintf(head, sizeof head, "(%u)", (unsigned)c + 1);
        mw_table_column(table, head, MW_RIGHT);
    }
    for (uint32_t r = 0; r < reply->row_count; r++) {
        row_of_block(job, &reply->rows[r], of, &writer);
    }
    mw_text_free(&writer.text);
    return writer.lost ? MW_NO_MEMORY : MW_OK;
}

#define BLOCK_MOST 64

static mw_status words(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    uint32_t columns =
        style->width > NAME_COLUMNS ? (style->width - NAME_COLUMNS) / VALUE_COLUMNS : 0;
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
        status = block(job, reply, (block_of){from, until, records}, table);
        if (status == MW_OK) {
            status = mw_table_write(table, &look, out);
        }
        mw_table_free(table);
    }
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
    mw_json_close(json, '}');
}

mw_status reply_what_if(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    if (!style->json) {
        mw_status status = words(job, reply, style, out);
        if (tells_stiffness(reply)) {
            mw_text_adds(out, "  stiffness and sag compare lay-ups; they approve nothing\n");
        }
        if (style->count) {
            mw_text_addf(out, "  computed %llu values\n",
                         (unsigned long long)reply->changes.computed);
        }
        return status;
    }
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "what_if");
    mw_json_add_integer(&json, reply->column_count);
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
