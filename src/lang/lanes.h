/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inside of lanes, shared by lanes*.c. */
#ifndef MW_LANG_LANES_H
#define MW_LANG_LANES_H

#include "lanes_kernels.h"
#include "mouldwright/lanes.h"

/* Columns are had in blocks of this many. */
#define MW_LANES_BLOCK 32u

/* The owner of columns that belong to temporaries; MW_NONE owns those that nobody has. */
#define MW_LANES_KEPT (MW_NONE - 1)

typedef struct mw_lanes_block {
    void *memory;
    double *first; /* aligned */
} mw_lanes_block;

struct mw_lanes {
    uint32_t width;
    uint32_t padded; /* lanes computed: a multiple of MW_LANES_STEP */
    uint32_t stride; /* doubles from one column to the next */
    uint32_t cells;
    const mw_lane_kernels *kernels;
    uint32_t *column_of; /* by cell: column + 1, or 0 */
    mw_lanes_block *blocks;
    uint32_t block_count, block_capacity;
    uint32_t *owners; /* by column */
    uint32_t owner_capacity;
    uint32_t *unused; /* stack of columns */
    uint32_t unused_count, unused_capacity;
    double *spare;                     /* where the next temporary's column is computed */
    double *temporary[MW_TEMPORARIES]; /* its column if it was ever needed */
    bool spread[MW_TEMPORARIES];       /* whether it has a column now */
};

static inline double *mw_lanes_at(const mw_lanes *lanes, uint32_t column)
{
    return lanes->blocks[column / MW_LANES_BLOCK].first +
           (size_t)(column % MW_LANES_BLOCK) * lanes->stride;
}

/* Takes an unused column for an owner; NULL when there is no memory. */
double *mw_lanes_take(mw_lanes *lanes, uint32_t owner, uint32_t *index) MW_MUST_USE;

#endif
