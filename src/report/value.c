/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values as JSON: one, a list, a range; alone or of a cell. */
#include "reply.h"

#include <math.h>

double value_shown(mw_job *job, double value, mw_type type, mw_unit unit)
{
    mw_measure *measure = mw_job_measure(job);
    double shown = mw_unit_from_si(measure, unit, value);
    const mw_type_parts *parts = mw_type_look(measure, type);
    if (parts->exponent[MW_MONEY] != MW_EXPONENT_ONE || parts->currency == 0) {
        return shown;
    }
    double coins = mw_money_round(shown, mw_currency_digits(measure, parts->currency));
    return fabs(coins - shown) <= 1e-12 * fmax(1.0, fabs(shown)) * 16.0 ? coins : shown;
}

static void unit_json(mw_job *job, mw_unit unit, mw_json *json)
{
    mw_text text = {0};
    mw_unit_words(mw_job_measure(job), unit, &text);
    mw_json_key(json, "unit");
    mw_json_add_string(json, text.length ? (mw_str){text.data, text.length} : mw_str_of("1"));
    json->out->failed = json->out->failed || text.failed;
    mw_text_free(&text);
}

static void date_json(double value, mw_json *json)
{
    mw_text text = {0};
    mw_date_words(value, &text);
    mw_json_key(json, "date");
    mw_json_add_string(json, (mw_str){mw_text_chars(&text), text.length});
    json->out->failed = json->out->failed || text.failed;
    mw_text_free(&text);
}

void value_json(mw_job *job, double value, mw_type type, mw_unit unit, mw_json *json)
{
    mw_code code = mw_error_code(value);
    mw_json_open(json, '{');
    if (code != MW_CODE_COUNT) {
        mw_json_key(json, "error");
        mw_json_add_string(json, mw_str_of(mw_code_word(code)));
    } else if (type == MW_TYPE_DATE) {
        date_json(value, json);
    } else if (type == MW_TYPE_TRUTH) {
        mw_json_key(json, "truth");
        mw_json_add_truth(json, value != 0.0);
    } else if (type == MW_TYPE_TEXT) {
        mw_json_key(json, "text");
        mw_json_add_string(json, mw_values_text_of(mw_sheet_values(mw_job_sheet(job)), value));
    } else {
        mw_json_key(json, "value");
        mw_json_add_number(json, value_shown(job, value, type, unit));
        unit_json(job, unit, json);
    }
    mw_json_close(json, '}');
}

/* One result as it stands in a list: numbers bare, the rest as objects. */
static void element_json(mw_job *job, const mw_meaning *of, double value, mw_json *json)
{
    bool number = of->type != MW_TYPE_DATE && of->type != MW_TYPE_TEXT && of->type != MW_TYPE_TRUTH;
    if (number && mw_error_code(value) == MW_CODE_COUNT) {
        mw_json_add_number(json, value_shown(job, value, of->type, of->unit));
    } else {
        value_json(job, value, of->type, of->unit, json);
    }
}

static void list_json(mw_job *job, const mw_meaning *of, const double *values, mw_json *json)
{
    mw_json_open(json, '{');
    mw_json_key(json, "values");
    mw_json_open(json, '[');
    for (uint32_t i = 0; i < of->length; i++) {
        element_json(job, of, values[i], json);
    }
    mw_json_close(json, ']');
    unit_json(job, of->unit, json);
    mw_json_close(json, '}');
}

static void range_json(mw_job *job, const mw_meaning *of, const double *values, mw_json *json)
{
    static const char *const keys[] = {"low", "likely", "high"};
    mw_json_open(json, '{');
    for (uint32_t i = 0; i < 3; i++) {
        mw_json_key(json, keys[i]);
        element_json(job, of, values[i], json);
    }
    unit_json(job, of->unit, json);
    mw_json_close(json, '}');
}

void meaning_json(mw_job *job, const mw_meaning *of, const double *values, mw_json *json)
{
    switch (of->shape) {
    case MW_SHAPE_LIST:
        list_json(job, of, values, json);
        break;
    case MW_SHAPE_RANGE:
        range_json(job, of, values, json);
        break;
    case MW_SHAPE_ONE:
        value_json(job, values[0], of->type, of->unit, json);
        break;
    }
}

void cell_json(mw_job *job, uint32_t cell, mw_json *json)
{
    const mw_sheet *sheet = mw_job_sheet(job);
    mw_meaning of = {.type = mw_sheet_type(sheet, cell), .unit = mw_sheet_unit(sheet, cell)};
    uint32_t count = 0;
    uint32_t first = mw_sheet_elements(sheet, cell, &count, &of.shape);
    of.length = count;
    mw_arena *arena = mw_arena_new();
    double *values = arena ? mw_arena_get(arena, (count + 1) * sizeof *values) : NULL;
    if (!values) {
        json->out->failed = true;
        mw_json_add_null(json);
    } else {
        values[0] = mw_sheet_value(sheet, cell);
        for (uint32_t i = 0; of.shape != MW_SHAPE_ONE && i < count; i++) {
            values[i] = mw_sheet_value(sheet, first + i);
        }
        meaning_json(job, &of, values, json);
    }
    mw_arena_free(arena);
}

/* The value of a cell for people, with all its elements. */
void cell_words(mw_job *job, uint32_t cell, mw_text *out)
{
    const mw_sheet *sheet = mw_job_sheet(job);
    mw_shape shape = MW_SHAPE_ONE;
    uint32_t count = 0;
    uint32_t first = mw_sheet_elements(sheet, cell, &count, &shape);
    mw_type type = mw_sheet_type(sheet, cell);
    mw_unit unit = mw_sheet_unit(sheet, cell);
    if (shape == MW_SHAPE_ONE) {
        reply_short_words(job, mw_sheet_value(sheet, cell), type, unit, out);
        return;
    }
    bool list = shape == MW_SHAPE_LIST;
    mw_text_adds(out, list ? "[" : "");
    for (uint32_t i = 0; i < count; i++) {
        mw_text_adds(out, i == 0 ? "" : list ? ", " : " .. ");
        reply_short_words(job, mw_sheet_value(sheet, first + i), type, unit, out);
    }
    mw_text_adds(out, list ? "]" : "");
}
