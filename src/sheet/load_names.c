/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finding the names that the words of formulas are, and which lines need which. Many are looked
 * up in a row, so that the table of names is on its way from memory before it is needed. */
#include "load.h"

enum {
    AHEAD = 10, /* words between asking for something in memory and looking at it */
    NEAR = 4096 /* lines back that are still in the cache */
};

/* Looks up one word; its hash stands in the place of its name. */
static void look_up(const mw_names *names, const char *text, known_word *word)
{
    if ((word->length & LOAD_NUMBER) != 0) {
        word->length -= LOAD_NUMBER;
        word->name = LIKE_IS_NUMBER;
        return;
    }
    const mw_str name = {text + word->begin, word->length};
    word->name = mw_names_find_hashed(names, name, word->name);
}

static void look_up_all(loading *load)
{
    const mw_names *names = load->edit->sheet->names;
    for (uint32_t i = 0; i < load->word_count; i++) {
        if (i + 2 * AHEAD < load->word_count) {
            mw_names_prefetch(names, load->words[i + 2 * AHEAD].name);
            mw_names_prefetch_text(names, load->words[i + AHEAD].name);
        }
        look_up(names, load->text.at, &load->words[i]);
    }
}

/* Notes which of the lines here each line names. There is room for all. */
static void find_needs(loading *load)
{
    for (uint32_t line = 0; line < load->line_count; line++) {
        const uint32_t end = load->lines[line + 1].first_word;
        load->first_need[line] = load->need_count;
        for (uint32_t at = load->lines[line].first_word; at < end; at++) {
            const uint32_t needed = load->words[at].name - load->first_name;
            if (needed < load->line_count) {
                load->needs[load->need_count++] = needed;
                load->far_count += line - needed > NEAR;
            }
        }
    }
    load->first_need[load->line_count] = load->need_count;
}

mw_status load_find_names(loading *load)
{
    if (load->no_memory || !grow_array(load->words, load->word_capacity, load->word_count + 1)) {
        return MW_NO_MEMORY;
    }
    look_up_all(load);
    load->words[load->word_count] = (known_word){.begin = UINT32_MAX, .name = MW_NONE};
    load->lines[load->line_count].first_word = load->word_count;
    uint32_t line_room = 0;
    if (!grow_array(load->needs, load->need_capacity, load->word_count) ||
        !grow_array(load->first_need, line_room, load->line_count + 1)) {
        return MW_NO_MEMORY;
    }
    find_needs(load);
    return MW_OK;
}
