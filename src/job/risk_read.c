/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words behind `risk`. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "risk.h"

enum { SAMPLES_MOST = 1 << 22 };

/* One clause: its first word and what follows. */
typedef struct clause {
    mw_span span;
    mw_str word;
    mw_span rest;
} clause;

typedef struct reading {
    mw_job *job;
    mw_diags *diags;
    risk_question *to;
    clause now;
} reading;

static mw_span trimmed(const mw_job *job, mw_span span)
{
    const char *text = mw_sources_text(job->sources, span.source).at;
    while (span.begin < span.end && strchr(" \t", text[span.begin])) {
        span.begin++;
    }
    while (span.end > span.begin && strchr(" \t", text[span.end - 1])) {
        span.end--;
    }
    return span;
}

/* Splits off what stands up to the next comma outside of brackets and quotes. */
static mw_span next_piece(const mw_job *job, mw_span *rest)
{
    const char *text = mw_sources_text(job->sources, rest->source).at;
    uint32_t at = rest->begin;
    int depth = 0;
    bool quoted = false;
    for (; at < rest->end; at++) {
        char c = text[at];
        quoted = quoted != (c == '"');
        depth += quoted ? 0 : (c == '(' || c == '[') - (c == ')' || c == ']');
        if (c == ',' && !quoted && depth <= 0) {
            break;
        }
    }
    mw_span piece = trimmed(job, (mw_span){rest->source, rest->begin, at});
    rest->begin = at < rest->end ? at + 1 : at;
    return piece;
}

/* Splits off the first word. */
static mw_span next_word(const mw_job *job, mw_span *rest)
{
    const char *text = mw_sources_text(job->sources, rest->source).at;
    uint32_t at = rest->begin;
    while (at < rest->end && !strchr(" \t", text[at])) {
        at++;
    }
    mw_span word = {rest->source, rest->begin, at};
    *rest = trimmed(job, (mw_span){rest->source, at, rest->end});
    return word;
}

static mw_status refuse(reading *on, mw_span at, const char *what)
{
    mw_diag *diag = mw_diags_error(on->diags, MW_CODE_SYNTAX, at, "%s", what);
    mw_diag_try(on->diags, diag, "risk samples 4096, seed 1, by 2027-03-26");
    return MW_FAILED;
}

static mw_status whole_number(reading *on, double low, double high, double *out)
{
    mw_str text = mw_sources_piece(on->job->sources, on->now.rest);
    char digits[24] = "";
    if (text.length > 0 && text.length < sizeof digits) {
        memcpy(digits, text.at, text.length);
    }
    char *end = digits;
    *out = (double)strtoull(digits, &end, 10);
    bool plain = digits[0] >= '0' && digits[0] <= '9' && *end == '\0';
    if (!plain || *out < low || *out > high) {
        mw_diag *diag = mw_diags_error(on->diags, MW_CODE_OUT_OF_RANGE,
                                       text.length > 0 ? on->now.rest : on->now.span,
                                       "a whole number from %.0f to %.0f is expected behind `%.*s`",
                                       low, high, (int)on->now.word.length, on->now.word.at);
        mw_diag_try(on->diags, diag, "risk %.*s %.0f", (int)on->now.word.length, on->now.word.at,
                    fmax(low, 64.0));
        return MW_FAILED;
    }
    return MW_OK;
}

/* The value of a formula behind a word; its kind. */
static mw_status formula(reading *on, mw_span at, mw_answer *answer)
{
    if (at.begin == at.end) {
        return refuse(on, on->now.span, "a value is missing behind this word");
    }
    build *in = on->job->build;
    mw_status status = mw_sheet_try(in->sheet, at, &in->scope, answer, on->diags);
    if (status == MW_OK && answer->meaning.shape != MW_SHAPE_ONE) {
        mw_diags_error(on->diags, MW_CODE_IS_A_LIST, at, "one value is expected here");
        return MW_FAILED;
    }
    if (status == MW_OK && mw_error_code(answer->values[0]) != MW_CODE_COUNT) {
        mw_diags_error(on->diags, mw_error_code(answer->values[0]), at, "this has no value");
        return MW_FAILED;
    }
    return status;
}

static mw_status read_date(reading *on)
{
    double values[3] = {0};
    mw_answer answer = {.values = values, .room = 3};
    mw_status status = formula(on, on->now.rest, &answer);
    if (status == MW_OK && answer.meaning.type != MW_TYPE_DATE) {
        mw_diags_error(on->diags, MW_CODE_WRONG_KIND, on->now.rest, "a date is expected here");
        return MW_FAILED;
    }
    on->to->by_s = values[0];
    return status;
}

static mw_status read_limit(reading *on)
{
    double values[3] = {0};
    mw_answer answer = {.values = values, .room = 3};
    mw_status status = formula(on, on->now.rest, &answer);
    on->to->within = values[0];
    on->to->within_type = answer.meaning.type;
    on->to->within_at = on->now.rest;
    return status;
}

static mw_status read_share(reading *on, mw_span at, double low, double high, double *out)
{
    double values[3] = {0};
    mw_answer answer = {.values = values, .room = 3};
    mw_status status = formula(on, at, &answer);
    if (status == MW_OK && answer.meaning.type != MW_TYPE_NUMBER) {
        mw_diags_error(on->diags, MW_CODE_WRONG_KIND, at, "a plain number or a share is expected");
        return MW_FAILED;
    }
    if (status == MW_OK && !(values[0] > low && values[0] < high)) {
        mw_diags_error(on->diags, MW_CODE_OUT_OF_RANGE, at,
                       "this has to be over %g %% and below %g %%", low * 100.0, high * 100.0);
        return MW_FAILED;
    }
    *out = values[0];
    return status;
}

static mw_status read_named(reading *on)
{
    mw_span rest = on->now.rest;
    if (rest.begin == rest.end) {
        return refuse(on, on->now.span, "names of values are missing behind `of`");
    }
    while (rest.begin < rest.end) {
        if (on->to->named_count == RISK_NAMED_MOST) {
            mw_diags_error(on->diags, MW_CODE_TOO_LONG, rest, "at most %d names", RISK_NAMED_MOST);
            return MW_FAILED;
        }
        on->to->named[on->to->named_count++] = next_word(on->job, &rest);
    }
    return MW_OK;
}

/* tie = PATH PATH share */
static mw_status read_tie(reading *on)
{
    mw_span rest = on->now.rest;
    if (on->to->tie_count == RISK_BONDS_MOST) {
        mw_diags_error(on->diags, MW_CODE_TOO_LONG, on->now.span, "at most %d ties",
                       RISK_BONDS_MOST);
        return MW_FAILED;
    }
    risk_tie *tie = &on->to->ties[on->to->tie_count++];
    tie->a = next_word(on->job, &rest);
    tie->b = next_word(on->job, &rest);
    if (rest.begin == rest.end) {
        mw_diag *diag =
            mw_diags_error(on->diags, MW_CODE_SYNTAX, on->now.span,
                           "two inputs and their correlation are expected behind `tie`");
        mw_diag_try(on->diags, diag, "risk tie hull_port.glass.hours hull_stbd.glass.hours 0.7");
        return MW_FAILED;
    }
    return read_share(on, rest, -1.0, 1.0, &tie->correlation);
}

/* chart = "chart" [ '"' FILE '"' ] */
static mw_status read_chart(reading *on)
{
    static const char *const endings[] = {".svg", ".png", ".pdf", ".html"};
    mw_span at = on->now.rest;
    mw_str text = mw_sources_piece(on->job->sources, at);
    on->to->chart = at.begin == at.end;
    if (on->to->chart) {
        return MW_OK;
    }
    bool quoted = text.length > 2 && text.at[0] == '"' && text.at[text.length - 1] == '"';
    on->to->chart_file = (mw_span){at.source, at.begin + 1, at.end - 1};
    for (size_t i = 0; quoted && i < sizeof endings / sizeof *endings; i++) {
        size_t length = strlen(endings[i]);
        if (text.length > length + 2 &&
            memcmp(text.at + text.length - 1 - length, endings[i], length) == 0) {
            return MW_OK;
        }
    }
    mw_diag *diag =
        mw_diags_error(on->diags, MW_CODE_SYNTAX, at,
                       "a file whose name ends in .svg, .png, .pdf or .html is expected "
                       "here, in quotes");
    mw_diag_try(on->diags, diag, "risk chart \"odds.svg\"");
    return MW_FAILED;
}

static mw_status read_clause(reading *on)
{
    risk_question *to = on->to;
    double number = 0.0;
    mw_status status = MW_OK;
    if (mw_str_is(on->now.word, "samples")) {
        status = whole_number(on, MW_RISK_TILE, SAMPLES_MOST, &number);
        to->samples = ((uint32_t)number + MW_RISK_TILE - 1) / MW_RISK_TILE * MW_RISK_TILE;
    } else if (mw_str_is(on->now.word, "seed")) {
        status = whole_number(on, 0, 9007199254740992.0, &number);
        to->seed = (uint64_t)number;
    } else if (mw_str_is(on->now.word, "threads")) {
        status = whole_number(on, 1, 64, &number);
        to->threads = (uint32_t)number;
    } else if (mw_str_is(on->now.word, "sample")) {
        status = whole_number(on, 1, SAMPLES_MOST, &number);
        to->sample = (uint32_t)number;
    } else if (mw_str_is(on->now.word, "at")) {
        status = read_share(on, on->now.rest, 0.0, 1.0, &to->confidence);
    } else if (mw_str_is(on->now.word, "by")) {
        status = read_date(on);
    } else if (mw_str_is(on->now.word, "within")) {
        status = read_limit(on);
    } else if (mw_str_is(on->now.word, "of")) {
        status = read_named(on);
    } else if (mw_str_is(on->now.word, "tie")) {
        status = read_tie(on);
    } else if (mw_str_is(on->now.word, "drives") && on->now.rest.begin == on->now.rest.end) {
        to->drives = true;
    } else if (mw_str_is(on->now.word, "chart")) {
        status = read_chart(on);
    } else {
        status = refuse(on, on->now.span,
                        "behind `risk` stand: samples, seed, sample, by, within, at, of, tie, "
                        "drives, chart, threads");
    }
    return status;
}

/* The ties that the job keeps: job.ties = "tie, tie ..." */
static mw_status read_kept_ties(reading *on)
{
    const document *own = &on->job->build->document;
    const uint32_t at = document_find(own, mw_str_of("set job.ties"));
    if (at == MW_NONE) {
        return MW_OK;
    }
    mw_span rest = own->items[at]->formula;
    const mw_str text = mw_sources_piece(on->job->sources, rest);
    if (text.length < 2 || text.at[0] != '"' || text.at[text.length - 1] != '"') {
        mw_diag *diag =
            mw_diags_error(on->diags, MW_CODE_SYNTAX, rest,
                           "ties in quotes are expected here, as they stand behind `tie`");
        mw_diag_try(on->diags, diag,
                    "job.ties = \"hull_port.glass.hours hull_stbd.glass.hours 0.7\"");
        return MW_FAILED;
    }
    rest = trimmed(on->job, (mw_span){rest.source, rest.begin + 1, rest.end - 1});
    mw_status status = MW_OK;
    while (status == MW_OK && rest.begin < rest.end) {
        on->now.span = on->now.rest = next_piece(on->job, &rest);
        status = read_tie(on);
    }
    return status;
}

mw_status risk_read(mw_job *job, mw_span rest, risk_question *out, mw_diags *diags)
{
    *out = (risk_question){.seed = 1,
                           .chart_file = {rest.source, rest.begin, rest.begin},
                           .confidence = 0.8,
                           .by_s = (double)NAN,
                           .within = (double)NAN};
    reading on = {job, diags, out, {.span = rest}};
    mw_status status = read_kept_ties(&on);
    rest = trimmed(job, rest);
    while (status == MW_OK && rest.begin < rest.end) {
        on.now.span = next_piece(job, &rest);
        on.now.rest = on.now.span;
        on.now.word = mw_sources_piece(job->sources, next_word(job, &on.now.rest));
        status = read_clause(&on);
    }
    return status;
}
