/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bars in the terminal: how often each value comes, and what each input does. Bars grow from the left, only the largest
 * fills the room, what is not zero is seen, and the number stands beside each. */
#include "risk.h"

#include <math.h>

#include "mouldwright/memory.h"

enum { BINS = RISK_BINS, LABEL = 12, FIGURES = 16, BAR_LEAST = 8, BAR_MOST = 60, EIGHTHS = 8 };

/* A bar of `share` (0 to 1) of `room` columns, padded to the room. */
static void bar(double share, uint32_t room, bool ascii, mw_text *out)
{
    static const char *const blocks[EIGHTHS] = {"",       "\u258f", "\u258e", "\u258d",
                                                "\u258c", "\u258b", "\u258a", "\u2589"};
    double length = share * room;
    uint32_t eighths =
        ascii ? (uint32_t)lround(length) * EIGHTHS : (uint32_t)lround(length * EIGHTHS);
    if (share > 0.0 && eighths == 0) {
        eighths = ascii ? EIGHTHS : 1;
    }
    uint32_t full = eighths / EIGHTHS;
    for (uint32_t i = 0; i < full; i++) {
        mw_text_adds(out, ascii ? "#" : "\u2588");
    }
    bool part = eighths % EIGHTHS != 0;
    mw_text_adds(out, blocks[eighths % EIGHTHS]);
    for (uint32_t i = full + part; i < room; i++) {
        mw_text_addc(out, ' ');
    }
}

/* Adds a text flush right in so many columns. */
static void right(const mw_text *text, uint32_t columns, mw_text *out)
{
    for (size_t i = text->length; i < columns; i++) {
        mw_text_addc(out, ' ');
    }
    mw_text_adds(out, mw_text_chars(text));
}

static uint32_t bar_room(const mw_style *style, uint32_t taken)
{
    uint32_t room = style->width > taken + BAR_LEAST ? style->width - taken : BAR_LEAST;
    return room > BAR_MOST ? BAR_MOST : room;
}

/* Bins of whole days for dates; else of equal width between the ends. */
mw_risk_bins risk_choose_bins(const mw_risk_row *row, uint32_t *counts)
{
    mw_risk_bins bins = {row->low, row->high, counts, BINS};
    if (row->type == MW_TYPE_DATE) {
        double first = floor(row->low / MW_DAY_S);
        double last = floor(row->high / MW_DAY_S) + 1.0;
        double days = fmax(1.0, ceil((last - first) / BINS));
        bins.count = (uint32_t)ceil((last - first) / days);
        bins.low = first * MW_DAY_S;
        bins.high = (first + days * bins.count) * MW_DAY_S;
    } else if (row->low == row->high) {
        bins.count = 1;
    }
    return bins;
}

void risk_chart(mw_job *job, const mw_risk_row *row, const mw_style *style, mw_text *out)
{
    uint32_t counts[BINS] = {0};
    if (row->count == 0) {
        return;
    }
    const mw_risk_bins bins = risk_choose_bins(row, counts);
    mw_risk_histogram(row->sorted, row->count, &bins);
    uint32_t most = 1;
    for (uint32_t i = 0; i < bins.count; i++) {
        most = counts[i] > most ? counts[i] : most;
    }
    mw_text_adds(out, "\n  ");
    risk_name_words(job, row, out);
    mw_text_adds(out, ": from, how often, at most\n");
    uint32_t room = bar_room(style, 2 + LABEL + 2 + 1 + FIGURES);
    uint32_t below = 0;
    for (uint32_t i = 0; i < bins.count; i++) {
        mw_text text = {0};
        risk_value_words(job, row, bins.low + (bins.high - bins.low) / bins.count * i, &text);
        mw_text_adds(out, "  ");
        right(&text, LABEL, out);
        mw_text_free(&text);
        below += counts[i];
        mw_text_adds(out, "  ");
        if (!style->plain) {
            bar((double)counts[i] / most, room, style->ascii, out);
            mw_text_addc(out, ' ');
        }
        mw_text_addf(out, "%5.1f %% %5.1f %%\n", 100.0 * counts[i] / row->count,
                     100.0 * below / row->count);
    }
}

/* ---- what drives it ---- */

static double swing_of(const mw_risk_input_view *input, uint32_t row)
{
    double swing = fabs(input->high_swing[row] - input->low_swing[row]);
    return isnan(swing) ? 0.0 : swing;
}

/* The input with the next smaller swing; ties by their order. */
static uint32_t next_input(const mw_risk_reply *reply, uint32_t row, uint32_t after)
{
    uint32_t best = MW_NONE;
    for (uint32_t i = 0; i < reply->input_count; i++) {
        double own = swing_of(&reply->inputs[i], row);
        double last = after == MW_NONE ? (double)INFINITY : swing_of(&reply->inputs[after], row);
        bool follows = own < last || (own == last && i > after);
        if (follows && (best == MW_NONE || own > swing_of(&reply->inputs[best], row))) {
            best = i;
        }
    }
    return best;
}

uint32_t risk_swings(const mw_risk_reply *reply, uint32_t row, risk_swing *out, uint32_t room)
{
    uint32_t count = 0;
    uint32_t i = next_input(reply, row, MW_NONE);
    while (i != MW_NONE && count < room && swing_of(&reply->inputs[i], row) > 0.0) {
        out[count] = (risk_swing){.input = i, .row = row, .place = count + 1};
        count++;
        i = next_input(reply, row, i);
    }
    return count;
}

/* Low and high ends on one scale: dark from one to the other. */
typedef struct scale {
    double low, high;
    uint32_t room;
} scale;

static void swing_bar(const scale *on, double a, double b, bool ascii, mw_text *out)
{
    double from = fmin(a, b);
    double until = fmax(a, b);
    double width = on->high - on->low;
    uint32_t first = width > 0.0 ? (uint32_t)floor((from - on->low) / width * (on->room - 1)) : 0;
    uint32_t last = width > 0.0 ? (uint32_t)floor((until - on->low) / width * (on->room - 1)) : 0;
    for (uint32_t i = 0; i < on->room; i++) {
        bool inside = i >= first && i <= last;
        mw_text_adds(out, !inside ? " " : ascii ? "=" : "\u2588");
    }
}

static void index_words(const mw_risk_input_view *input, uint32_t row, mw_text *out)
{
    const mw_risk_index *of = &input->indices[row];
    if (isnan(of->first.value)) {
        mw_text_adds(out, "  no shares: some samples lack it");
        return;
    }
    mw_text_addf(out, "  alone %.0f %% +-%.0f, in all %.0f %% +-%.0f",
                 100.0 * fmax(of->first.value, 0.0), 100.0 * of->first.error,
                 100.0 * of->total.value, 100.0 * of->total.error);
}

static scale find_scale(const mw_risk_reply *reply, uint32_t row, const mw_style *style)
{
    scale found = {reply->rows[row].now, reply->rows[row].now, bar_room(style, 4)};
    for (uint32_t i = 0; i < reply->input_count; i++) {
        const mw_risk_input_view *input = &reply->inputs[i];
        found.low = fmin(found.low, fmin(input->low_swing[row], input->high_swing[row]));
        found.high = fmax(found.high, fmax(input->low_swing[row], input->high_swing[row]));
    }
    return found;
}

/* Whether an input does anything to a row that is worth a line. */
static bool moves(const scale *on, const mw_risk_input_view *input, uint32_t row)
{
    bool swings = swing_of(input, row) > 1e-9 * (on->high - on->low);
    return swings || (input->indices && input->indices[row].total.value > 0.005);
}

mw_status risk_drives(mw_job *job, const mw_risk_reply *reply, const mw_style *style, mw_text *out)
{
    for (uint32_t r = 0; r < reply->row_count; r++) {
        const mw_risk_row *row = &reply->rows[r];
        const scale on = find_scale(reply, r, style);
        mw_text_adds(out, "\n  what drives ");
        risk_name_words(job, row, out);
        mw_text_adds(out, ": each input low (P10) and high (P90), the others as they stand\n");
        for (uint32_t i = next_input(reply, r, MW_NONE); i != MW_NONE;
             i = next_input(reply, r, i)) {
            const mw_risk_input_view *input = &reply->inputs[i];
            if (!moves(&on, input, r)) {
                continue;
            }
            mw_text_addf(out, "  %.*s: ", (int)input->name.length, input->name.at);
            risk_value_words(job, row, input->low_swing[r], out);
            mw_text_adds(out, " .. ");
            risk_value_words(job, row, input->high_swing[r], out);
            if (input->indices) {
                index_words(input, r, out);
            }
            mw_text_addc(out, '\n');
            if (!style->plain) {
                mw_text_adds(out, "    ");
                swing_bar(&on, input->low_swing[r], input->high_swing[r], style->ascii, out);
                mw_text_addc(out, '\n');
            }
        }
    }
    return out->failed ? MW_NO_MEMORY : MW_OK;
}
