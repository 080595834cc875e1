/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The measuring context as a whole. */
#include "measure.h"

#include <string.h>

#include "mouldwright/memory.h"

uint32_t *empty_slots(uint32_t bits)
{
    const size_t bytes = sizeof(uint32_t) << bits;
    uint32_t *slots = mw_memory_get(bytes);
    if (slots != NULL) {
        memset(slots, 0xff, bytes); /* MW_NONE */
    }
    return slots;
}

mw_measure *mw_measure_new(void)
{
    mw_measure *measure = mw_memory_get(sizeof(mw_measure));
    if (measure == NULL) {
        return NULL;
    }
    if (types_start(measure) != MW_OK || units_start(measure) != MW_OK) {
        mw_measure_free(measure);
        return NULL;
    }
    return measure;
}

void mw_measure_free(mw_measure *measure)
{
    if (measure == NULL) {
        return;
    }
    units_free(measure);
    types_free(measure);
    mw_memory_give(measure);
}
