/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words behind `find`: PATH = LOW .. HIGH [step S] so that FORMULA SIGN FORMULA */
#include <math.h>
#include <string.h>

#include "solve.h"

typedef struct reading {
    mw_job *job;
    mw_diags *diags;
    const char *text; /* of the source */
} reading;

static mw_span trimmed(const reading *on, mw_span span)
{
    while (span.begin < span.end && strchr(" \t", on->text[span.begin])) {
        span.begin++;
    }
    while (span.end > span.begin && strchr(" \t", on->text[span.end - 1])) {
        span.end--;
    }
    return span;
}

/* The first place outside of brackets and quotes where one of the words or signs stands; span.end if there is none. */
static uint32_t find_text(const reading *on, mw_span in, const char *wanted)
{
    int depth = 0;
    bool quoted = false;
    size_t length = strlen(wanted);
    for (uint32_t at = in.begin; at + length <= in.end; at++) {
        char c = on->text[at];
        quoted = quoted != (c == '"');
        depth += quoted ? 0 : (c == '(' || c == '[') - (c == ')' || c == ']');
        if (!quoted && depth <= 0 && memcmp(on->text + at, wanted, length) == 0) {
            return at;
        }
    }
    return in.end;
}

static mw_status refuse(const reading *on, mw_span at, const char *what)
{
    mw_diag *diag = mw_diags_error(on->diags, MW_CODE_SYNTAX, at, "%s", what);
    mw_diag_try(on->diags, diag,
                "find hull_port.heavy.plies = 1 .. 12 so that job.cost <= 70000 EUR");
    return MW_FAILED;
}

static mw_status evaluate(const reading *on, mw_span at, mw_answer *answer)
{
    build *in = on->job->build;
    return mw_sheet_try(in->sheet, at, &in->scope, answer, on->diags);
}

static mw_status read_range(const reading *on, solve_question *out)
{
    double values[3] = {0};
    mw_answer answer = {.values = values, .room = 3};
    mw_status status = evaluate(on, out->range, &answer);
    if (status != MW_OK) {
        return status;
    }
    if (answer.meaning.shape != MW_SHAPE_RANGE || !(values[0] < values[2]) ||
        !isfinite(values[2] - values[0])) {
        return refuse(on, out->range, "the values to search are a rising range, such as 1 .. 12");
    }
    out->low = values[0];
    out->high = values[2];
    out->type = answer.meaning.type;
    out->unit = answer.meaning.unit;
    return MW_OK;
}

static mw_status read_step(const reading *on, mw_span at, solve_question *out)
{
    double values[3] = {0};
    mw_answer answer = {.values = values, .room = 3};
    mw_status status = evaluate(on, at, &answer);
    if (status == MW_OK && (answer.meaning.shape != MW_SHAPE_ONE || !(values[0] > 0.0) ||
                            !((out->high - out->low) / values[0] <= 4096.0))) {
        mw_diags_error(on->diags, MW_CODE_OUT_OF_RANGE, at,
                       "a step is above 0 and leads through the range in at most 4096 steps");
        return MW_FAILED;
    }
    out->step = values[0];
    return status;
}

/* PATH = LOW .. HIGH [step S] */
static mw_status read_input(const reading *on, mw_span at, solve_question *out)
{
    uint32_t equal = find_text(on, at, "=");
    if (equal == at.end) {
        return refuse(on, at, "behind `find` stand an input, `=` and the range to search");
    }
    out->path = trimmed(on, (mw_span){at.source, at.begin, equal});
    mw_span rest = trimmed(on, (mw_span){at.source, equal + 1, at.end});
    uint32_t word = find_text(on, rest, " step ");
    out->range = trimmed(on, (mw_span){at.source, rest.begin, word});
    out->step = (double)NAN;
    if (out->path.begin == out->path.end || out->range.begin == out->range.end) {
        return refuse(on, at, "behind `find` stand an input, `=` and the range to search");
    }
    mw_status status = read_range(on, out);
    if (status == MW_OK && word < rest.end) {
        status = read_step(on, trimmed(on, (mw_span){at.source, word + 6, rest.end}), out);
    }
    return status;
}

/* FORMULA SIGN FORMULA */
static mw_status read_condition(const reading *on, mw_span at, solve_question *out)
{
    static const struct {
        const char *text;
        solve_sign sign;
    } signs[] = {{"<=", SOLVE_LESS_EQUAL},
                 {">=", SOLVE_GREATER_EQUAL},
                 {"<", SOLVE_LESS},
                 {">", SOLVE_GREATER},
                 {"=", SOLVE_EQUAL}};
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        uint32_t place = find_text(on, at, signs[i].text);
        if (place < at.end) {
            uint32_t behind = place + (uint32_t)strlen(signs[i].text);
            out->sign = signs[i].sign;
            out->sign_at = (mw_span){at.source, place, behind};
            out->left = trimmed(on, (mw_span){at.source, at.begin, place});
            out->right = trimmed(on, (mw_span){at.source, behind, at.end});
            bool both = out->left.begin < out->left.end && out->right.begin < out->right.end;
            return both ? MW_OK : refuse(on, at, "both sides of the condition are needed");
        }
    }
    return refuse(on, at, "behind `so that` stands a condition with <, <=, =, >= or >");
}

/* Both sides are looked at where they are written, so that messages point there. */
static mw_status check_sides(const reading *on, solve_question *out)
{
    const mw_span sides[] = {out->left, out->right};
    mw_meaning meanings[2];
    for (int i = 0; i < 2; i++) {
        double values[3];
        mw_answer answer = {.values = values, .room = 3};
        mw_status status = evaluate(on, sides[i], &answer);
        if (status != MW_OK) {
            return status;
        }
        meanings[i] = answer.meaning;
        bool number = answer.meaning.shape != MW_SHAPE_LIST &&
                      answer.meaning.type != MW_TYPE_TEXT && answer.meaning.type != MW_TYPE_TRUTH;
        if (!number) {
            mw_diags_error(on->diags, MW_CODE_IS_A_LIST, sides[i],
                           "one number or date is expected");
            return MW_FAILED;
        }
    }
    mw_measure *measure = on->job->measure;
    if (mw_type_fits(measure, meanings[1].type, meanings[0].type) != MW_TYPE_FINE) {
        mw_text left = {0};
        mw_text right = {0};
        mw_type_words(measure, meanings[0].type, &left);
        mw_type_words(measure, meanings[1].type, &right);
        mw_diags_error(on->diags, MW_CODE_WRONG_KIND, out->right,
                       "this is %s; it is compared with %s", mw_text_chars(&right),
                       mw_text_chars(&left));
        mw_text_free(&left);
        mw_text_free(&right);
        return MW_FAILED;
    }
    /* a date with nothing else: YYYY-MM-DD */
    out->whole_day = meanings[1].type == MW_TYPE_DATE && out->right.end - out->right.begin == 10 &&
                     on->text[out->right.begin] <= '9';
    return MW_OK;
}

mw_status solve_read(mw_job *job, mw_span rest, solve_question *out, mw_diags *diags)
{
    reading on = {job, diags, mw_sources_text(job->sources, rest.source).at};
    uint32_t words = find_text(&on, rest, "so that ");
    if (words == rest.end) {
        return refuse(&on, rest, "the condition is missing: `so that` ...");
    }
    mw_status status =
        read_input(&on, trimmed(&on, (mw_span){rest.source, rest.begin, words}), out);
    if (status == MW_OK) {
        status =
            read_condition(&on, trimmed(&on, (mw_span){rest.source, words + 8, rest.end}), out);
    }
    return status == MW_OK ? check_sides(&on, out) : status;
}
