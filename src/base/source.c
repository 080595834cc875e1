/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The set of texts that were read. Each text is a block of its own, so that it stays where it is. */
#include "mouldwright/source.h"

#include <assert.h>
#include <string.h>

#include "mouldwright/memory.h"

typedef struct kept_text {
    char *name;
    size_t name_length;
    char *text;
    size_t length;
    uint32_t lines_before; /* of the stream that the text is a part of */
} kept_text;

struct mw_sources {
    kept_text *items;
    uint32_t count;
    uint32_t capacity;
};

mw_sources *mw_sources_new(void)
{
    return mw_memory_get(sizeof(mw_sources));
}

static void drop(kept_text *dropped)
{
    mw_memory_give(dropped->name);
    mw_memory_give(dropped->text);
}

void mw_sources_free(mw_sources *sources)
{
    if (sources == NULL) {
        return;
    }
    for (uint32_t i = 0; i < sources->count; i++) {
        drop(&sources->items[i]);
    }
    mw_memory_give(sources->items);
    mw_memory_give(sources);
}

static char *copy_of(mw_str piece)
{
    char *copy = piece.length < SIZE_MAX ? mw_memory_resize(NULL, piece.length + 1) : NULL;
    if (copy != NULL) {
        if (piece.length > 0) {
            memcpy(copy, piece.at, piece.length);
        }
        copy[piece.length] = '\0';
    }
    return copy;
}

uint32_t mw_sources_adopt(mw_sources *sources, mw_str name, char *text, size_t length)
{
    if (length > UINT32_MAX - 1 || sources->count == UINT32_MAX - 1) {
        return MW_NONE;
    }
    assert(text[length] == '\0');
    void *items = sources->items;
    if (!mw_memory_grow32(&items, &sources->capacity, sources->count + 1, sizeof(kept_text))) {
        return MW_NONE;
    }
    sources->items = items;
    char *name_copy = copy_of(name);
    if (name_copy == NULL) {
        return MW_NONE;
    }
    sources->items[sources->count] =
        (kept_text){.name = name_copy, .name_length = name.length, .text = text, .length = length};
    return sources->count++;
}

uint32_t mw_sources_add(mw_sources *sources, mw_str name, mw_str text)
{
    if (text.length > UINT32_MAX - 1) {
        return MW_NONE;
    }
    char *copy = copy_of(text);
    if (copy == NULL) {
        return MW_NONE;
    }
    uint32_t id = mw_sources_adopt(sources, name, copy, text.length);
    if (id == MW_NONE) {
        mw_memory_give(copy);
    }
    return id;
}

void mw_sources_drop_last(mw_sources *sources, uint32_t source)
{
    if (source != MW_NONE && sources->count > 0 && source == sources->count - 1) {
        sources->count--;
        drop(&sources->items[sources->count]);
    }
}

static const kept_text *look_up(const mw_sources *sources, uint32_t id)
{
    assert(id < sources->count);
    return &sources->items[id];
}

mw_str mw_sources_text(const mw_sources *sources, uint32_t source)
{
    return (mw_str){look_up(sources, source)->text, look_up(sources, source)->length};
}

mw_str mw_sources_name(const mw_sources *sources, uint32_t source)
{
    return (mw_str){look_up(sources, source)->name, look_up(sources, source)->name_length};
}

mw_str mw_sources_piece(const mw_sources *sources, mw_span span)
{
    mw_str text = mw_sources_text(sources, span.source);
    size_t end = span.end < text.length ? span.end : text.length;
    size_t begin = span.begin < end ? span.begin : end;
    return (mw_str){text.at + begin, end - begin};
}

void mw_sources_first_line(mw_sources *sources, uint32_t source, uint32_t line)
{
    assert(source < sources->count && line >= 1);
    sources->items[source].lines_before = line - 1;
}

/* Characters in a piece; a byte that is no valid UTF-8 counts as one. */
static uint32_t count_characters(mw_str piece)
{
    uint32_t count = 0;
    size_t length;
    for (size_t i = 0; i < piece.length; i += length) {
        mw_utf8_decode(piece.at + i, piece.at + piece.length, &length);
        count++;
    }
    return count;
}

/* Lines end with LF or CR LF. */
mw_place mw_sources_place(const mw_sources *sources, uint32_t source, uint32_t at)
{
    mw_str text = mw_sources_text(sources, source);
    size_t offset = at < text.length ? at : text.length;
    mw_place place = {.name = mw_sources_name(sources, source),
                      .line = 1 + look_up(sources, source)->lines_before};
    size_t begin = 0;
    const char *newline;
    while (begin < offset && (newline = memchr(text.at + begin, '\n', offset - begin)) != NULL) {
        begin = (size_t)(newline - text.at) + 1;
        place.line++;
    }
    newline = memchr(text.at + begin, '\n', text.length - begin);
    size_t end = newline == NULL ? text.length : (size_t)(newline - text.at);
    if (newline != NULL && end > begin && text.at[end - 1] == '\r') {
        end--;
    }
    place.line_begin = (uint32_t)begin;
    place.line_text = (mw_str){text.at + begin, end - begin};
    place.column = 1 + count_characters((mw_str){text.at + begin, offset - begin});
    return place;
}
