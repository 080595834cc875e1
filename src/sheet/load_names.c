/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finding the names that the words of formulas are. Many are looked up in a row, so that the table of names is on its
 * way from memory before it is needed. */
#include "load.h"

enum { AHEAD = 16 }; /* words between asking for a place in memory and looking at it */

mw_status load_find_names(loading *load)
{
    const mw_names *names = load->edit->sheet->names;
    for (uint32_t i = 0; i < load->word_count; i++) {
        if (i + AHEAD < load->word_count) {
            mw_names_prefetch(names, load->words[i + AHEAD].is);
        }
        known_word *word = &load->words[i];
        if ((word->length & LOAD_NUMBER) != 0) {
            word->length -= LOAD_NUMBER;
            word->is = LIKE_IS_NUMBER;
            continue;
        }
        const mw_str text = {load->text.at + word->begin, word->length};
        word->is = mw_names_find_hashed(names, text, word->is);
    }
    load->lines[load->line_count].first_word = load->word_count;
    if (load->no_memory || !grow_array(load->words, load->word_capacity, load->word_count + 1)) {
        return MW_NO_MEMORY;
    }
    load->words[load->word_count] = (known_word){.begin = UINT32_MAX, .is = MW_NONE};
    return MW_OK;
}
