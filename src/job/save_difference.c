/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A small difference of two texts, line by line, for the question what to do about somebody else's change. */
#include "saving.h"

#include "mouldwright/memory.h"

typedef struct text_lines {
    mw_str *items;
    uint32_t count, capacity;
} text_lines;

static mw_status split(mw_str text, text_lines *out)
{
    for (size_t at = 0; at < text.length;) {
        size_t end = at;
        while (end < text.length && text.at[end] != '\n') {
            end++;
        }
        void *items = out->items;
        if (!mw_memory_grow32(&items, &out->capacity, out->count + 1, sizeof *out->items)) {
            return MW_NO_MEMORY;
        }
        out->items = items;
        out->items[out->count++] = (mw_str){text.at + at, end - at};
        at = end + 1;
    }
    return MW_OK;
}

typedef struct showing {
    mw_text *out;
    uint32_t shown, most, hidden;
} showing;

static void show(showing *on, char sign, mw_str line)
{
    if (on->shown == on->most) {
        on->hidden++;
        return;
    }
    on->shown++;
    mw_text_addf(on->out, "  %c ", sign);
    for (size_t i = 0; i < line.length; i++) {
        if ((unsigned char)line.at[i] >= ' ') { /* nothing that a terminal would obey */
            mw_text_addc(on->out, line.at[i]);
        }
    }
    mw_text_addc(on->out, '\n');
}

/* Whether a line stands among the next few, and how far away. */
static uint32_t ahead(const text_lines *in, uint32_t from, mw_str line)
{
    for (uint32_t i = from; i < in->count && i < from + 200; i++) {
        if (mw_str_equal(in->items[i], line)) {
            return i - from;
        }
    }
    return MW_NONE;
}

static void compare(const text_lines *was, const text_lines *is, showing *on)
{
    uint32_t a = 0;
    uint32_t b = 0;
    while (a < was->count || b < is->count) {
        bool both = a < was->count && b < is->count;
        if (both && mw_str_equal(was->items[a], is->items[b])) {
            a++;
            b++;
            continue;
        }
        uint32_t comes = both ? ahead(is, b, was->items[a]) : MW_NONE;
        uint32_t stays = both ? ahead(was, a, is->items[b]) : MW_NONE;
        bool gone = b >= is->count || (a < was->count && comes == MW_NONE) ||
                    (both && stays != MW_NONE && stays < comes);
        if (gone) {
            show(on, '-', was->items[a++]);
        } else {
            show(on, '+', is->items[b++]);
        }
    }
}

mw_status difference_words(mw_str was, mw_str is, uint32_t most, mw_text *out)
{
    text_lines old = {0};
    text_lines fresh = {0};
    showing on = {out, 0, most, 0};
    mw_status status = split(was, &old);
    if (status == MW_OK) {
        status = split(is, &fresh);
    }
    if (status == MW_OK) {
        compare(&old, &fresh, &on);
    }
    if (on.hidden > 0) {
        mw_text_addf(out, "  and %u more lines\n", (unsigned)on.hidden);
    }
    mw_memory_give(old.items);
    mw_memory_give(fresh.items);
    return out->failed ? MW_NO_MEMORY : status;
}
