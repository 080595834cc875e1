/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names by open addressing. A slot is the top bits of the hash, so that growing walks both tables in
 * order. Names of up to 12 bytes lie inside their entry, which saves a cache miss a look-up. */
#include "mouldwright/names.h"

#include <assert.h>
#include <string.h>

#include "mouldwright/memory.h"

enum {
    SHORT_BYTES = 12,
    PREFIX_BYTES = 4,
    FIRST_CHUNK_BITS = 4, /* entries of the first chunk, and so on doubling */
    CHUNK_COUNT = 28,     /* enough for 2^32 entries */
    FIRST_SLOT_BITS = 5,
    LAST_SLOT_BITS = 31,
    FIRST_BLOCK_BYTES = 1024,
    LARGEST_BLOCK_BYTES = 256 * 1024
};

/* The text of a name of up to 12 bytes, or its first 4 bytes and behind them the address of all. */
typedef struct entry {
    uint32_t length;
    char text[SHORT_BYTES];
} entry;
_Static_assert(sizeof(char *) <= SHORT_BYTES - PREFIX_BYTES, "an address fits behind the prefix");

typedef struct slot {
    uint32_t hash;
    uint32_t id_plus_1; /* 0: empty */
} slot;

typedef struct block {
    struct block *older;
    char bytes[];
} block;

struct mw_names {
    slot *slots;
    uint32_t slot_bits;
    uint32_t count;
    entry *chunks[CHUNK_COUNT]; /* entries never move, since texts are handed out */
    block *newest;              /* texts of long names */
    size_t block_used;
    size_t block_size;
    size_t held; /* bytes */
};

static uint32_t index_of(uint32_t hash, uint32_t slot_bits)
{
    return hash >> (32 - slot_bits);
}

/* How many names `slot_bits` serve: five eighths of the slots. */
static uint32_t room_of(uint32_t slot_bits)
{
    return (UINT32_C(1) << slot_bits) / 8 * 5;
}

static mw_str text_of(const entry *e)
{
    if (e->length <= SHORT_BYTES) {
        return (mw_str){e->text, e->length};
    }
    const char *at;
    memcpy(&at, e->text + PREFIX_BYTES, sizeof at);
    return (mw_str){at, e->length};
}

/* Chunk k holds the ids from 16 (2^k - 1) on. */
static uint32_t chunk_of(uint32_t id)
{
    uint64_t shifted = (uint64_t)id + (1U << FIRST_CHUNK_BITS);
    return 63U - (uint32_t)__builtin_clzll(shifted) - FIRST_CHUNK_BITS;
}

static size_t chunk_size(uint32_t chunk)
{
    return (size_t)1 << (FIRST_CHUNK_BITS + chunk);
}

static entry *entry_of(const mw_names *names, uint32_t id)
{
    uint32_t chunk = chunk_of(id);
    return &names->chunks[chunk][id + (1U << FIRST_CHUNK_BITS) - chunk_size(chunk)];
}

static bool open_slots(mw_names *names, uint32_t slot_bits)
{
    if (slot_bits > LAST_SLOT_BITS) {
        return false;
    }
    slot *fresh = mw_memory_get(sizeof(slot) << slot_bits);
    if (fresh == NULL) {
        return false;
    }
    uint32_t mask = (UINT32_C(1) << slot_bits) - 1;
    uint32_t old_count = names->slots == NULL ? 0 : UINT32_C(1) << names->slot_bits;
    for (uint32_t i = 0; i < old_count; i++) {
        slot moved = names->slots[i];
        if (moved.id_plus_1 != 0) {
            uint32_t at = index_of(moved.hash, slot_bits);
            while (fresh[at].id_plus_1 != 0) {
                at = (at + 1) & mask;
            }
            fresh[at] = moved;
        }
    }
    mw_memory_give(names->slots);
    names->held += (sizeof(slot) << slot_bits) - sizeof(slot) * old_count;
    names->slots = fresh;
    names->slot_bits = slot_bits;
    return true;
}

mw_names *mw_names_new(void)
{
    mw_names *names = mw_memory_get(sizeof(mw_names));
    if (names != NULL) {
        names->held = sizeof *names;
        if (!open_slots(names, FIRST_SLOT_BITS)) {
            mw_memory_give(names);
            return NULL;
        }
    }
    return names;
}

void mw_names_free(mw_names *names)
{
    if (names == NULL) {
        return;
    }
    for (uint32_t i = 0; i < CHUNK_COUNT; i++) {
        mw_memory_give(names->chunks[i]);
    }
    block *older;
    for (block *b = names->newest; b != NULL; b = older) {
        older = b->older;
        mw_memory_give(b);
    }
    mw_memory_give(names->slots);
    mw_memory_give(names);
}

bool mw_names_reserve(mw_names *names, uint32_t count)
{
    uint32_t slot_bits = names->slot_bits;
    while (slot_bits <= LAST_SLOT_BITS && room_of(slot_bits) < count) {
        slot_bits++;
    }
    return slot_bits == names->slot_bits || open_slots(names, slot_bits);
}

/* The eight bytes at `at` as a number, the first byte lowest on every machine. */
static uint64_t word_at(const char *at)
{
    uint64_t word;
    memcpy(&word, at, sizeof word);
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
    word = __builtin_bswap64(word);
#endif
    return word;
}

/* The last `length` < 8 bytes as a number. */
static uint64_t rest_at(const char *at, size_t length)
{
    uint64_t word = 0;
    for (size_t i = 0; i < length; i++) {
        word |= (uint64_t)(unsigned char)at[i] << (8 * i);
    }
    return word;
}

/* Xor and multiply as in FNV-1a, eight bytes at a time, and a last mix since the top bits choose the
 * slot. The multiplier is 2^64 divided by the golden ratio, made odd. */
uint32_t mw_names_hash(mw_str name)
{
    const uint64_t multiplier = UINT64_C(0x9E3779B97F4A7C15);
    uint64_t hash = name.length * multiplier;
    const char *at = name.at;
    size_t left = name.length;
    for (; left >= 8; left -= 8, at += 8) {
        hash = (hash ^ word_at(at)) * multiplier;
        hash ^= hash >> 32;
    }
    if (left > 0) {
        hash = (hash ^ rest_at(at, left)) * multiplier;
        hash ^= hash >> 32;
    }
    hash *= multiplier;
    return (uint32_t)(hash >> 32);
}

static bool holds(const entry *e, mw_str name)
{
    if (e->length != name.length) {
        return false;
    }
    if (name.length <= SHORT_BYTES) {
        return name.length == 0 || memcmp(e->text, name.at, name.length) == 0;
    }
    return memcmp(e->text, name.at, PREFIX_BYTES) == 0 &&
           memcmp(text_of(e).at, name.at, name.length) == 0;
}

/* Returns the slot of `name`, or the empty one where it belongs. */
static slot *find_slot(const mw_names *names, mw_str name, uint32_t hash)
{
    uint32_t mask = (UINT32_C(1) << names->slot_bits) - 1;
    uint32_t at = index_of(hash, names->slot_bits);
    for (;;) {
        slot *s = &names->slots[at];
        if (s->id_plus_1 == 0 ||
            (s->hash == hash && holds(entry_of(names, s->id_plus_1 - 1), name))) {
            return s;
        }
        at = (at + 1) & mask;
    }
}

static bool open_block(mw_names *names, size_t needed)
{
    size_t size = names->block_size == 0 ? FIRST_BLOCK_BYTES : names->block_size * 2;
    size = size > LARGEST_BLOCK_BYTES ? LARGEST_BLOCK_BYTES : size;
    size = size < needed ? needed : size;
    block *fresh = mw_memory_resize(NULL, sizeof(block) + size);
    if (fresh == NULL) {
        return false;
    }
    fresh->older = names->newest;
    names->newest = fresh;
    names->block_size = size;
    names->block_used = 0;
    names->held += sizeof(block) + size;
    return true;
}

/* Writes `name` into an entry; false when there is no memory for a long one. */
static bool fill_entry(mw_names *names, entry *e, mw_str name)
{
    e->length = (uint32_t)name.length;
    if (name.length <= SHORT_BYTES) {
        if (name.length > 0) {
            memcpy(e->text, name.at, name.length);
        }
        return true;
    }
    if (names->block_size - names->block_used < name.length && !open_block(names, name.length)) {
        return false;
    }
    char *copy = names->newest->bytes + names->block_used;
    memcpy(copy, name.at, name.length);
    names->block_used += name.length;
    memcpy(e->text, copy, PREFIX_BYTES);
    memcpy(e->text + PREFIX_BYTES, &copy, sizeof copy);
    return true;
}

/* Makes the entry of the next id exist. */
static bool open_chunk(mw_names *names)
{
    uint32_t chunk = chunk_of(names->count);
    if (names->chunks[chunk] != NULL) {
        return true;
    }
    size_t bytes = chunk_size(chunk) * sizeof(entry);
    names->chunks[chunk] = mw_memory_get(bytes);
    if (names->chunks[chunk] == NULL) {
        return false;
    }
    names->held += bytes;
    return true;
}

uint32_t mw_names_add(mw_names *names, mw_str name)
{
    uint32_t hash = mw_names_hash(name);
    slot *s = find_slot(names, name, hash);
    if (s->id_plus_1 != 0) {
        return s->id_plus_1 - 1;
    }
    if (name.length > UINT32_MAX) {
        return MW_NONE;
    }
    if (names->count >= room_of(names->slot_bits)) {
        if (!open_slots(names, names->slot_bits + 1)) {
            return MW_NONE;
        }
        s = find_slot(names, name, hash);
    }
    if (!open_chunk(names) || !fill_entry(names, entry_of(names, names->count), name)) {
        return MW_NONE;
    }
    *s = (slot){.hash = hash, .id_plus_1 = names->count + 1};
    return names->count++;
}

uint32_t mw_names_find(const mw_names *names, mw_str name)
{
    return mw_names_find_hashed(names, name, mw_names_hash(name));
}

uint32_t mw_names_find_hashed(const mw_names *names, mw_str name, uint32_t hash)
{
    /* An empty slot holds 0, which turns into MW_NONE here. */
    return find_slot(names, name, hash)->id_plus_1 - 1;
}

void mw_names_prefetch(const mw_names *names, uint32_t hash)
{
    __builtin_prefetch(&names->slots[index_of(hash, names->slot_bits)]);
}

void mw_names_prefetch_text(const mw_names *names, uint32_t hash)
{
    const slot *s = &names->slots[index_of(hash, names->slot_bits)];
    if (s->id_plus_1 != 0) {
        __builtin_prefetch(entry_of(names, s->id_plus_1 - 1));
    }
}

mw_str mw_names_text(const mw_names *names, uint32_t id)
{
    assert(id < names->count);
    return text_of(entry_of(names, id));
}

uint32_t mw_names_count(const mw_names *names)
{
    return names->count;
}

size_t mw_names_bytes(const mw_names *names)
{
    return names->held;
}
