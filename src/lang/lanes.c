/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns: given to cells from blocks that never move, taken back into a stack of free ones. */
#include "lanes.h"

#include "mouldwright/memory.h"

/* Columns begin at a cache line. */
#define LINE_BYTES 64u

mw_lanes *mw_lanes_new(uint32_t cells, uint32_t width)
{
    if (width < 1 || width > MW_LANES_MAX) {
        return NULL;
    }
    mw_lanes *lanes = mw_memory_get(sizeof *lanes);
    if (lanes == NULL) {
        return NULL;
    }
    lanes->width = width;
    lanes->padded = (width + MW_LANES_STEP - 1) / MW_LANES_STEP * MW_LANES_STEP;
    /* A line more than a power of two keeps columns from crowding the same places of the cache. */
    lanes->stride = lanes->padded + LINE_BYTES / sizeof(double);
    lanes->cells = cells;
    lanes->kernels = mw_lanes_kernels();
    lanes->column_of = mw_memory_get((size_t)cells * sizeof *lanes->column_of);
    if (lanes->column_of == NULL) {
        mw_lanes_free(lanes);
        return NULL;
    }
    return lanes;
}

void mw_lanes_free(mw_lanes *lanes)
{
    if (lanes == NULL) {
        return;
    }
    for (uint32_t i = 0; i < lanes->block_count; i++) {
        mw_memory_give(lanes->blocks[i].memory);
    }
    mw_memory_give(lanes->blocks);
    mw_memory_give(lanes->owners);
    mw_memory_give(lanes->unused);
    mw_memory_give(lanes->column_of);
    mw_memory_give(lanes);
}

uint32_t mw_lanes_width(const mw_lanes *lanes)
{
    return lanes->width;
}

/* Gets a block of columns and puts them all on the stack of unused ones, which has room for every
 * column there is: giving one back cannot fail. */
static bool add_block(mw_lanes *lanes)
{
    const uint32_t columns = (lanes->block_count + 1) * MW_LANES_BLOCK;
    if (!mw_memory_grow32((void **)&lanes->blocks, &lanes->block_capacity, lanes->block_count + 1,
                          sizeof *lanes->blocks) ||
        !mw_memory_grow32((void **)&lanes->owners, &lanes->owner_capacity, columns,
                          sizeof *lanes->owners) ||
        !mw_memory_grow32((void **)&lanes->unused, &lanes->unused_capacity, columns,
                          sizeof *lanes->unused)) {
        return false;
    }
    const size_t bytes = (size_t)MW_LANES_BLOCK * lanes->stride * sizeof(double) + LINE_BYTES;
    char *memory = mw_memory_get(bytes);
    if (memory == NULL) {
        return false;
    }
    const size_t over = (uintptr_t)memory % LINE_BYTES;
    double *first = (double *)(void *)(memory + (over == 0 ? 0 : LINE_BYTES - over));
    lanes->blocks[lanes->block_count++] = (mw_lanes_block){memory, first};
    for (uint32_t i = 0; i < MW_LANES_BLOCK; i++) {
        lanes->owners[columns - 1 - i] = MW_NONE;
        lanes->unused[lanes->unused_count++] = columns - 1 - i;
    }
    return true;
}

double *mw_lanes_take(mw_lanes *lanes, uint32_t owner, uint32_t *index)
{
    if (lanes->unused_count == 0 && !add_block(lanes)) {
        return NULL;
    }
    *index = lanes->unused[--lanes->unused_count];
    lanes->owners[*index] = owner;
    return mw_lanes_at(lanes, *index);
}

void mw_lanes_clear(mw_lanes *lanes)
{
    const uint32_t columns = lanes->block_count * MW_LANES_BLOCK;
    lanes->unused_count = 0;
    for (uint32_t i = columns; i > 0; i--) {
        const uint32_t owner = lanes->owners[i - 1];
        if (owner == MW_LANES_KEPT) {
            continue;
        }
        if (owner != MW_NONE) {
            lanes->column_of[owner] = 0;
        }
        lanes->owners[i - 1] = MW_NONE;
        lanes->unused[lanes->unused_count++] = i - 1;
    }
}

double *mw_lanes_give(mw_lanes *lanes, uint32_t cell)
{
    const uint32_t known = lanes->column_of[cell];
    if (known != 0) {
        return mw_lanes_at(lanes, known - 1);
    }
    uint32_t index;
    double *column = mw_lanes_take(lanes, cell, &index);
    if (column != NULL) {
        lanes->column_of[cell] = index + 1;
    }
    return column;
}

double *mw_lanes_column(const mw_lanes *lanes, uint32_t cell)
{
    const uint32_t known = cell < lanes->cells ? lanes->column_of[cell] : 0;
    return known != 0 ? mw_lanes_at(lanes, known - 1) : NULL;
}

void mw_lanes_drop(mw_lanes *lanes, uint32_t cell)
{
    const uint32_t known = cell < lanes->cells ? lanes->column_of[cell] : 0;
    if (known != 0) {
        lanes->column_of[cell] = 0;
        lanes->owners[known - 1] = MW_NONE;
        lanes->unused[lanes->unused_count++] = known - 1;
    }
}
