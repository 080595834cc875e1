/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Records of a journal as bytes. */
#include "journal.h"

#include <string.h>

#include "mouldwright/checksum.h"

enum { HEAD_BYTES = 64, CRC_DIGITS = 8 };

static const char *const kind_words[] = {
    [RECORD_JOB] = "job",       [RECORD_SAY] = "say",     [RECORD_UNDO] = "undo",
    [RECORD_REDO] = "redo",     [RECORD_TEXT] = "text",   [RECORD_REVERT] = "revert",
    [RECORD_SAVING] = "saving", [RECORD_SAVED] = "saved",
};
_Static_assert(sizeof kind_words / sizeof *kind_words == RECORD_KINDS, "a word a kind");

/* The sum goes over kind and length too, so that no damage there moves the end. */
static uint32_t sum_of(mw_str head, mw_str words)
{
    return mw_crc32(mw_crc32(0, head), words);
}

void record_write(record_kind kind, mw_str words, mw_text *out)
{
    size_t begin = out->length;
    mw_text_addf(out, "%s %zu ", kind_words[kind], words.length);
    if (out->failed) {
        return;
    }
    mw_str head = {out->data + begin, out->length - begin};
    mw_text_addf(out, "%08lx\n", (unsigned long)sum_of(head, words));
    mw_text_add_str(out, words);
    mw_text_addc(out, '\n');
}

static bool read_kind(mw_str word, record_kind *kind)
{
    for (int i = 0; i < RECORD_KINDS; i++) {
        if (mw_str_is(word, kind_words[i])) {
            *kind = (record_kind)i;
            return true;
        }
    }
    return false;
}

/* Digits in a base up to their end; false: none, others, or too many. */
static bool read_digits(mw_str digits, unsigned base, uint64_t *value)
{
    *value = 0;
    for (size_t i = 0; i < digits.length; i++) {
        const char *all = "0123456789abcdef";
        const char *at = digits.at[i] ? strchr(all, digits.at[i]) : NULL;
        if (!at || (unsigned)(at - all) >= base || i >= 15) {
            return false;
        }
        *value = *value * base + (unsigned)(at - all);
    }
    return digits.length > 0;
}

bool record_read(mw_str bytes, size_t *at, record *out)
{
    mw_str rest = {bytes.at + *at, bytes.length - *at};
    size_t most = rest.length < HEAD_BYTES ? rest.length : HEAD_BYTES;
    const char *end = most > 0 ? memchr(rest.at, '\n', most) : NULL;
    const char *one = end ? memchr(rest.at, ' ', (size_t)(end - rest.at)) : NULL;
    const char *two = one ? memchr(one + 1, ' ', (size_t)(end - one - 1)) : NULL;
    uint64_t length = 0;
    uint64_t sum = 0;
    if (!two || end - two - 1 != CRC_DIGITS ||
        !read_kind((mw_str){rest.at, (size_t)(one - rest.at)}, &out->kind) ||
        !read_digits((mw_str){one + 1, (size_t)(two - one - 1)}, 10, &length) ||
        !read_digits((mw_str){two + 1, CRC_DIGITS}, 16, &sum)) {
        return false;
    }
    size_t head = (size_t)(end - rest.at) + 1;
    if (length >= rest.length - head || rest.at[head + length] != '\n') {
        return false;
    }
    out->words = (mw_str){rest.at + head, (size_t)length};
    if (sum_of((mw_str){rest.at, (size_t)(two - rest.at) + 1}, out->words) != sum) {
        return false;
    }
    *at += head + (size_t)length + 1;
    return true;
}

mw_str record_line(mw_str *words)
{
    const char *end = words->length > 0 ? memchr(words->at, '\n', words->length) : NULL;
    mw_str line = {words->at, end ? (size_t)(end - words->at) : words->length};
    size_t taken = line.length + (end != NULL);
    words->at += taken;
    words->length -= taken;
    return line;
}
