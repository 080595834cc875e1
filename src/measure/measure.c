/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The measuring context as a whole. */
#include "measure.h"

#include "mouldwright/memory.h"

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
