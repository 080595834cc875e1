/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Places in the table of mw_functions() that the checker knows by name. */
#ifndef MW_LANG_FUNCTION_KNOWN_H
#define MW_LANG_FUNCTION_KNOWN_H

/* Those up to MW_FUNCTION_ROUND_TO are compiled to operations; the rest are called. */
typedef enum mw_known {
    MW_FUNCTION_SUM,
    MW_FUNCTION_MEAN,
    MW_FUNCTION_SMALLEST,
    MW_FUNCTION_LARGEST,
    MW_FUNCTION_COUNT_OF,
    MW_FUNCTION_SQRT,
    MW_FUNCTION_EXP,
    MW_FUNCTION_LN,
    MW_FUNCTION_LOG10,
    MW_FUNCTION_SIN,
    MW_FUNCTION_COS,
    MW_FUNCTION_TAN,
    MW_FUNCTION_ASIN,
    MW_FUNCTION_ACOS,
    MW_FUNCTION_ATAN,
    MW_FUNCTION_ABS,
    MW_FUNCTION_ROUND_UP,
    MW_FUNCTION_ROUND_DOWN,
    MW_FUNCTION_ROUND_TO,
    MW_FUNCTION_YEAR,
    MW_FUNCTION_MONTH,
    MW_FUNCTION_DAY,
    MW_FUNCTION_WEEKDAY,
    MW_FUNCTION_WEEK,
    MW_FUNCTION_ISO_YEAR,
    MW_FUNCTION_ROWS
} mw_known;

#endif
