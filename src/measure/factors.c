/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The factors that a unit is made of. */
#include "measure.h"

#include <stdlib.h>

static void remove_factor(factors *list, uint32_t at)
{
    for (uint32_t i = at; i + 1 < list->count; i++) {
        list->items[i] = list->items[i + 1];
    }
    list->count--;
}

bool factors_add(factors *list, atom item, int32_t exponent)
{
    const int32_t limit = POWER_MAX * MW_EXPONENT_ONE;
    if (abs(exponent) > limit) {
        return false;
    }
    for (uint32_t i = 0; i < list->count; i++) {
        if (list->items[i].atom == item) {
            list->items[i].exponent += exponent;
            bool fits = abs(list->items[i].exponent) <= limit;
            if (list->items[i].exponent == 0) {
                remove_factor(list, i);
            }
            return fits;
        }
    }
    if (list->count == FACTOR_MAX) {
        return false;
    }
    if (exponent != 0) {
        list->items[list->count++] = (unit_factor){item, exponent};
    }
    return true;
}
