/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Answers to statements: values, and changes with what they did to the headline. */
#include "reply.h"

#include <math.h>
#include <string.h>

#include "wrap.h"

void reply_value_words(mw_job *job, double value, mw_type type, mw_unit unit, mw_text *out)
{
    mw_code code = mw_error_code(value);
    if (code != MW_CODE_COUNT) {
        mw_text_addf(out, "no value: %s", mw_code_title(code));
    } else if (type == MW_TYPE_TEXT) {
        mw_text_add_str(out, mw_values_text_of(mw_sheet_values(mw_job_sheet(job)), value));
    } else {
        mw_value_words(mw_job_measure(job), value, type, unit, out);
    }
}

void reply_short_words(mw_job *job, double value, mw_type type, mw_unit unit, mw_text *out)
{
    enum { TEXT_SHOWN = 40, TEXT_CUT = 32 };
    mw_measure *measure = mw_job_measure(job);
    mw_str text = type == MW_TYPE_TEXT && mw_error_code(value) == MW_CODE_COUNT
                      ? mw_values_text_of(mw_sheet_values(mw_job_sheet(job)), value)
                      : mw_str_of("-");
    if (text.length > TEXT_SHOWN) { /* such as the order of work; `job.order` alone shows it all */
        mw_text_addf(out, "%.*s ...", TEXT_CUT, text.at);
        return;
    }
    if (text.length == 0) {
        mw_text_adds(out, "none");
        return;
    }
    bool number = mw_error_code(value) == MW_CODE_COUNT && type != MW_TYPE_TEXT &&
                  type != MW_TYPE_TRUTH && type != MW_TYPE_DATE;
    if (!number || mw_type_look(measure, type)->exponent[MW_MONEY] != 0) {
        reply_value_words(job, value, type, unit, out);
        return;
    }
    double shown = mw_unit_from_si(measure, unit, value);
    double scale = shown == 0.0 ? 1.0 : pow(10.0, 5.0 - floor(log10(fabs(shown))));
    double rounded = isfinite(scale) && scale > 0.0 ? round(shown * scale) / scale : shown;
    reply_value_words(job, mw_unit_to_si(measure, unit, rounded), type, unit, out);
}

static void answer_json(mw_job *job, const mw_reply *reply, mw_text *out)
{
    mw_json json = {.out = out};
    meaning_json(job, &reply->meaning, reply->values, &json);
    mw_text_addc(out, '\n');
}

static void answer_words(mw_job *job, const mw_reply *reply, mw_text *out)
{
    const mw_meaning *of = &reply->meaning;
    bool list = of->shape == MW_SHAPE_LIST;
    mw_text_adds(out, list ? "[" : "");
    for (uint32_t i = 0; i < of->length; i++) {
        mw_text_adds(out, i == 0 ? "" : list ? ", " : " .. ");
        reply_value_words(job, reply->values[i], of->type, of->unit, out);
    }
    mw_text_adds(out, list ? "]\n" : "\n");
}

/* ---- changes ---- */

static void signed_number(double value, int decimals, mw_text *out)
{
    mw_text_adds(out, value < 0.0 ? "" : "+");
    mw_number_fixed(value, decimals, ' ', out);
}

static void percent(double before, double after, mw_text *out)
{
    if (before != 0.0 && isfinite(before) && isfinite(after)) {
        mw_text_adds(out, " (");
        signed_number((after / before - 1.0) * 100.0, 1, out);
        mw_text_adds(out, " %)");
    }
}

/* `  cost      41 900.00 -> 42 912.00 EUR  +1 012.00 (+2.4 %)` */
typedef struct figure_pair {
    const char *name;
    double before, after;
    int decimals;
    const char *unit;
} figure_pair;

static void figure_line(const figure_pair *of, mw_text *out)
{
    double before = of->before;
    double after = of->after;
    int decimals = of->decimals;
    bool was = isfinite(before);
    bool is = isfinite(after);
    if ((before == after) || (!was && !is)) {
        return;
    }
    mw_text_addf(out, "  %-8s", of->name);
    if (was) {
        mw_number_fixed(before, decimals, ' ', out);
    } else {
        mw_text_adds(out, "none");
    }
    mw_text_adds(out, " -> ");
    if (is) {
        mw_number_fixed(after, decimals, ' ', out);
    } else {
        mw_text_adds(out, "none");
    }
    mw_text_addf(out, " %s", of->unit);
    if (was && is) {
        mw_text_adds(out, "  ");
        signed_number(after - before, decimals, out);
        percent(before, after, out);
    }
    mw_text_addc(out, '\n');
}

static void date_or_none(double moment_s, mw_text *out)
{
    if (isfinite(moment_s)) {
        mw_date_day_words(moment_s, out);
    } else {
        mw_text_adds(out, mw_error_code(moment_s) == MW_CODE_NEVER ? "never" : "none");
    }
}

static void ready_line(const mw_reply *reply, mw_text *out)
{
    double before = reply->before.ready_s;
    double after = reply->after.ready_s;
    if (before == after || (!isfinite(before) && !isfinite(after))) {
        return;
    }
    mw_text_adds(out, "  ready   ");
    date_or_none(before, out);
    mw_text_adds(out, " -> ");
    date_or_none(after, out);
    if (isfinite(before) && isfinite(after)) {
        double days = floor(after / MW_DAY_S) - floor(before / MW_DAY_S);
        if (days != 0.0) {
            mw_text_adds(out, "  ");
            signed_number(days, 0, out);
            mw_text_adds(out, " d");
        } else {
            mw_text_adds(out, "  ");
            signed_number((after - before) / 3600.0, 1, out);
            mw_text_adds(out, " h");
        }
    }
    if (reply->reason.length > 0) {
        mw_text_adds(out, "   ");
        mw_text_add_str(out, reply->reason);
    }
    mw_text_addc(out, '\n');
}

static void money_context(mw_job *job, int *digits, const char **code)
{
    mw_measure *measure = mw_job_measure(job);
    uint16_t currency = mw_money_base_of(measure);
    *digits = currency ? mw_currency_digits(measure, currency) : 2;
    *code = currency ? mw_currency_code(measure, currency) : "";
}

/* The value of a line after the change: a list or range with all its elements. */
static void new_words(mw_job *job, const mw_reply *reply, mw_text *out)
{
    uint32_t cell = mw_sheet_find(mw_job_sheet(job), reply->what);
    if (cell == MW_NONE) {
        reply_short_words(job, reply->new_value, reply->type, reply->unit, out);
    } else {
        cell_words(job, cell, out);
    }
}

/* What a wide change does not reach, since a narrower value stands there. */
static void kept_line(const mw_reply *reply, mw_text *out)
{
    enum { NAMES_SHOWN = 4 };
    if (reply->kept_count == 0) {
        return;
    }
    uint32_t shown = reply->kept_count > NAMES_SHOWN + 1 ? NAMES_SHOWN : reply->kept_count;
    mw_text_adds(out, "  narrower values stay as they are in ");
    for (uint32_t i = 0; i < shown; i++) {
        mw_text_adds(out, i == 0 ? "" : i + 1 == reply->kept_count ? " and " : ", ");
        mw_text_add_str(out, reply->kept[i]);
    }
    if (shown < reply->kept_count) {
        mw_text_addf(out, " and %u more", (unsigned)(reply->kept_count - shown));
    }
    mw_text_addc(out, '\n');
}

static void what_line(mw_job *job, const mw_reply *reply, mw_text *out)
{
    if (reply->what.length == 0) {
        return;
    }
    mw_text_adds(out, "  ");
    mw_text_add_str(out, reply->what);
    mw_text_adds(out, "   ");
    if (reply->gone) {
        mw_text_adds(out, "taken out");
    } else if (reply->nowhere) {
        mw_text_adds(out, "is in force nowhere");
    } else {
        if (!reply->fresh && mw_error_code(reply->old_value) == MW_CODE_COUNT) {
            reply_short_words(job, reply->old_value, reply->old_type, reply->old_unit, out);
            mw_text_adds(out, " -> ");
        }
        new_words(job, reply, out);
    }
    if (reply->others > 0) {
        mw_text_addf(out, "   in %.*s, and in %u more", (int)reply->shown.length, reply->shown.at,
                     (unsigned)reply->others);
    } else if (reply->kept_count > 0 && reply->shown.length > 0) {
        mw_text_addf(out, "   in %.*s", (int)reply->shown.length, reply->shown.at);
    }
    mw_text_addc(out, '\n');
    kept_line(reply, out);
}

void reply_warning_words(const mw_warning_view *of, mw_text *out)
{
    mw_text_add_str(out, of->what);
    if (of->unclear == MW_CODE_COUNT) {
        mw_text_adds(out, ": ");
    } else {
        mw_text_addf(out, ": cannot be told (%s) whether ", mw_code_title(of->unclear));
    }
    mw_text_add_str(out, of->text);
}

/* A piece of a line up to a gap of two blanks or more. */
static mw_str segment_at(mw_str line, size_t *at, size_t *gap)
{
    size_t begin = *at;
    while (begin < line.length && line.at[begin] == ' ') {
        begin++;
    }
    size_t end = begin;
    while (end < line.length &&
           !(line.at[end] == ' ' && (end + 1 == line.length || line.at[end + 1] == ' '))) {
        end++;
    }
    *gap = begin - *at;
    *at = end;
    return (mw_str){line.at + begin, end - begin};
}

/* `old -> new` as `old becomes new`. */
static void becomes_words(mw_str words, mw_text *out)
{
    for (size_t i = 0; i < words.length; i++) {
        bool arrow = i + 1 < words.length && words.at[i] == '-' && words.at[i + 1] == '>';
        if (arrow) {
            mw_text_adds(out, "becomes");
            i++;
        } else {
            mw_text_addc(out, words.at[i]);
        }
    }
}

enum { CHANGE_INDENT = 10 };

/* A line of an answer: broken to the screen; in plain style `name: old becomes new, by how much`. */
static void change_line(mw_str line, const mw_style *style, mw_text *out)
{
    wrapping to = {.out = out, .width = style->width, .indent = CHANGE_INDENT};
    size_t number = 0;
    for (size_t at = 0; at < line.length; number++) {
        size_t gap;
        mw_str words = segment_at(line, &at, &gap);
        if (style->plain) {
            mw_text_adds(out, number == 0 ? "" : number == 1 ? ": " : ", ");
            becomes_words(words, out);
        } else if (number == 0) {
            mw_text_fill(out, ' ', gap);
            to.used = gap;
            wrap_words(&to, words);
        } else {
            wrap_part(&to, gap, words);
        }
    }
    mw_text_addc(out, '\n');
}

static void figure_lines(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    int digits;
    const char *code;
    money_context(job, &digits, &code);
    what_line(job, reply, out);
    if (reply->put_by.length > 0) {
        mw_text_addf(out, "  alternative `%.*s` is saved; no figure has changed\n",
                     (int)reply->put_by.length, reply->put_by.at);
    }
    size_t before = out->length;
    figure_pair cost = {"cost", reply->before.cost, reply->after.cost, digits, code};
    figure_pair hours = {"hours", reply->before.hours_s / 3600.0, reply->after.hours_s / 3600.0, 1,
                         "h"};
    figure_pair price = {"price", reply->before.price, reply->after.price, digits, code};
    figure_line(&cost, out);
    if (reply->before.cost == reply->after.cost) {
        figure_line(&price, out); /* else it follows the cost */
    }
    figure_line(&hours, out);
    ready_line(reply, out);
    bool of_recipe = memchr(reply->what.at ? reply->what.at : "", '.', reply->what.length) != NULL;
    if (out->length == before && mw_job_mould_count(job) > 0 && of_recipe) {
        mw_text_adds(out, "  cost, hours and ready date stay as they are\n");
    }
    for (uint32_t i = 0; i < reply->warning_count; i++) {
        mw_text_adds(out, "  warning   ");
        reply_warning_words(&reply->warnings[i], out);
        mw_text_addc(out, '\n');
    }
    if (style->count) {
        mw_text_addf(out, "  computed %llu values, %llu changed\n",
                     (unsigned long long)reply->changes.computed,
                     (unsigned long long)reply->changes.changed);
    }
}

static void change_words(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    mw_text lines = {0};
    figure_lines(job, reply, style, &lines);
    for (size_t at = 0; at < lines.length;) {
        const char *begin = lines.data + at;
        size_t length = strcspn(begin, "\n");
        change_line((mw_str){begin, length}, style, out);
        at += length + 1;
    }
    out->failed = out->failed || lines.failed;
    mw_text_free(&lines);
}

/* Two values of one kind. */
typedef struct value_pair {
    double before, after;
    mw_type type;
    mw_unit unit;
} value_pair;

static void pair_json(mw_job *job, const char *key, value_pair pair, mw_json *json)
{
    mw_json_key(json, key);
    mw_json_open(json, '{');
    mw_json_key(json, "old");
    value_json(job, pair.before, pair.type, pair.unit, json);
    mw_json_key(json, "new");
    value_json(job, pair.after, pair.type, pair.unit, json);
    mw_json_close(json, '}');
}

/* The value after the change: of a line with all its elements. */
static void new_json(mw_job *job, const mw_reply *reply, mw_json *json)
{
    uint32_t cell = mw_sheet_find(mw_job_sheet(job), reply->what);
    if (cell == MW_NONE) {
        value_json(job, reply->new_value, reply->type, reply->unit, json);
    } else {
        cell_json(job, cell, json);
    }
}

/* Only where there are any. */
static void warnings_json(const mw_reply *reply, mw_json *json)
{
    if (reply->warning_count == 0) {
        return;
    }
    mw_json_key(json, "warnings");
    mw_json_open(json, '[');
    for (uint32_t i = 0; i < reply->warning_count; i++) {
        const mw_warning_view *of = &reply->warnings[i];
        mw_json_open(json, '{');
        mw_json_key(json, "what");
        mw_json_add_string(json, of->what);
        mw_json_key(json, "text");
        mw_json_add_string(json, of->text);
        mw_json_key(json, "clear");
        mw_json_add_truth(json, of->unclear == MW_CODE_COUNT);
        mw_json_close(json, '}');
    }
    mw_json_close(json, ']');
}

/* What was changed: its value before and after, null where there was or is none. */
static void old_and_new_json(mw_job *job, const mw_reply *reply, mw_json *json)
{
    mw_json_key(json, "value");
    mw_json_open(json, '{');
    mw_json_key(json, "old");
    if (reply->fresh || reply->nowhere) {
        mw_json_add_null(json);
    } else {
        value_json(job, reply->old_value, reply->old_type, reply->old_unit, json);
    }
    mw_json_key(json, "new");
    if (reply->gone || reply->nowhere) {
        mw_json_add_null(json);
    } else {
        new_json(job, reply, json);
    }
    mw_json_close(json, '}');
}

static void change_json(mw_job *job, const mw_reply *reply, mw_text *out)
{
    mw_measure *measure = mw_job_measure(job);
    mw_json json = {.out = out};
    uint16_t currency = mw_money_base_of(measure);
    mw_json_open(&json, '{');
    mw_json_key(&json, "changed");
    mw_json_add_string(&json, reply->what);
    if (reply->what.length > 0) {
        old_and_new_json(job, reply, &json);
    }
    if (reply->put_by.length > 0) {
        mw_json_key(&json, "alternative");
        mw_json_add_string(&json, reply->put_by);
    }
    if (reply->others > 0) {
        mw_json_key(&json, "shown");
        mw_json_add_string(&json, reply->shown);
        mw_json_key(&json, "others");
        mw_json_add_integer(&json, reply->others);
    }
    if (reply->kept_count > 0) {
        mw_json_key(&json, "kept");
        mw_json_open(&json, '[');
        for (uint32_t i = 0; i < reply->kept_count; i++) {
            mw_json_add_string(&json, reply->kept[i]);
        }
        mw_json_close(&json, ']');
    }
    if (currency && mw_job_mould_count(job) > 0) {
        const mw_headline *was = &reply->before;
        const mw_headline *is = &reply->after;
        mw_type money = mw_money_type(measure, currency);
        mw_unit unit = mw_unit_usual(measure, money);
        mw_unit hour = mw_unit_usual(measure, MW_TYPE_LABOUR);
        pair_json(job, "cost", (value_pair){was->cost, is->cost, money, unit}, &json);
        pair_json(job, "price", (value_pair){was->price, is->price, money, unit}, &json);
        pair_json(job, "hours", (value_pair){was->hours_s, is->hours_s, MW_TYPE_LABOUR, hour},
                  &json);
        pair_json(job, "ready", (value_pair){was->ready_s, is->ready_s, MW_TYPE_DATE, MW_UNIT_ONE},
                  &json);
    }
    mw_json_key(&json, "reason");
    mw_json_add_string(&json, reply->reason);
    warnings_json(reply, &json);
    mw_json_key(&json, "computed");
    mw_json_add_integer(&json, (int64_t)reply->changes.computed);
    mw_json_key(&json, "differing");
    mw_json_add_integer(&json, (int64_t)reply->changes.changed);
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
}

mw_status mw_report_reply(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    switch (reply->kind) {
    case MW_REPLY_NOTHING:
    case MW_REPLY_COMMAND:
        break;
    case MW_REPLY_VALUE:
        if (style->json) {
            answer_json(job, reply, out);
        } else {
            answer_words(job, reply, out);
        }
        break;
    case MW_REPLY_CHANGE:
        if (style->json) {
            change_json(job, reply, out);
        } else {
            change_words(job, reply, style, out);
        }
        break;
    case MW_REPLY_WHAT_IF:
        return reply_what_if(job, reply, style, out);
    case MW_REPLY_WHY:
        reply_why(job, reply, style, out);
        break;
    }
    return out->failed ? MW_NO_MEMORY : MW_OK;
}
