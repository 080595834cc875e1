/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statements that cannot be read: what they would have defined is known all the same, so that what reads it is not said to
 * read something unknown. */
#include "parts.h"

#include <string.h>

/* A text that is being taken apart. */
typedef struct taking {
    mw_str left;
} taking;

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

static void skip_blanks(taking *on)
{
    while (on->left.length > 0 && is_blank(on->left.at[0])) {
        on->left = (mw_str){on->left.at + 1, on->left.length - 1};
    }
}

static bool take_byte(taking *on, char wanted)
{
    bool there = on->left.length > 0 && on->left.at[0] == wanted;
    if (there) {
        on->left = (mw_str){on->left.at + 1, on->left.length - 1};
    }
    return there;
}

/* Takes a name; empty: there is none. */
static mw_str take_name(taking *on)
{
    mw_str name = {on->left.at, 0};
    while (name.length < on->left.length) {
        unsigned char c = (unsigned char)on->left.at[name.length];
        bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' || c >= 0x80;
        if (!letter && !(c >= '0' && c <= '9')) {
            break;
        }
        name.length++;
    }
    if (!mw_is_name(name)) {
        return (mw_str){0};
    }
    on->left = (mw_str){on->left.at + name.length, on->left.length - name.length};
    return name;
}

static mw_span span_of(const mw_job *job, uint32_t source, mw_str piece)
{
    const char *text = mw_sources_text(job->sources, source).at;
    uint32_t begin = (uint32_t)(piece.at - text);
    return (mw_span){source, begin, begin + (uint32_t)piece.length};
}

static mw_status add_broken(mw_job *job, const entry *from, const char *key, entry_list *list)
{
    entry *made = mw_arena_get(job->arena, sizeof *made);
    if (!made || !key) {
        return MW_NO_MEMORY;
    }
    *made = *from;
    made->key = mw_str_of(key);
    made->from = job->importing;
    made->broken = true;
    made->formula = job_nowhere();
    return document_add(list, made);
}

/* PATH = ..., or what may be meant to be one. */
static mw_status add_set(mw_job *job, mw_span line, taking *on, entry_list *list)
{
    entry made = {.kind = ENTRY_SET, .span = line};
    const char *begin = on->left.at;
    do {
        mw_str part = take_name(on);
        if (part.length == 0 || made.part_count == ENTRY_PARTS_MAX) {
            return MW_OK;
        }
        made.parts[made.part_count++] = part;
    } while (take_byte(on, '.'));
    made.name = (mw_str){begin, (size_t)(on->left.at - begin)};
    made.name_at = span_of(job, line.source, made.name);
    skip_blanks(on);
    made.unsure = !take_byte(on, '=') || take_byte(on, '=');
    if (made.part_count == 1 && document_taken_word(made.name)) {
        return MW_OK;
    }
    char *key = mw_arena_print(job->arena, "set %.*s", (int)made.name.length, made.name.at);
    return add_broken(job, &made, key, list);
}

static mw_status add_mould(mw_job *job, mw_span line, taking *on, entry_list *list)
{
    skip_blanks(on);
    mw_str name = take_name(on);
    if (name.length == 0) {
        job->unseen = true; /* it may be any */
        return MW_OK;
    }
    entry made = {.kind = ENTRY_MOULD,
                  .span = line,
                  .name = name,
                  .name_at = span_of(job, line.source, name),
                  .unsure = true};
    char *key = mw_arena_print(job->arena, "mould %.*s", (int)name.length, name.at);
    return add_broken(job, &made, key, list);
}

mw_status document_broken(mw_job *job, mw_span line, entry_list *list)
{
    taking on = {mw_str_trim(mw_sources_piece(job->sources, line))};
    taking behind = on;
    mw_str word = take_name(&behind);
    bool set = behind.left.length > 0 && (behind.left.at[0] == '.' || behind.left.at[0] == '=');
    if (!set && mw_str_is(word, "shop")) {
        entry made = {.kind = ENTRY_SHOP, .span = line, .name_at = line};
        return add_broken(job, &made, "shop", list);
    }
    if (!set && mw_str_is(word, "mould")) {
        return add_mould(job, line, &behind, list);
    }
    if (!set && (mw_str_is(word, "include") || mw_str_is(word, "moulds"))) {
        job->unseen = true;
        return MW_OK;
    }
    return add_set(job, line, &on, list);
}
