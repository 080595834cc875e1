/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Status codes shared by every function of the library that can fail. */
#ifndef MOULDWRIGHT_STATUS_H
#define MOULDWRIGHT_STATUS_H

#include <stdint.h>

/* What a function reports. Nothing in the library prints or exits. */
typedef enum mw_status {
    MW_OK = 0,    /* done */
    MW_FAILED,    /* refused; at least one diagnostic was added to the sink that was passed in */
    MW_NO_MEMORY, /* an allocation failed; what was passed in is unchanged unless said otherwise */
    MW_NOT_FOUND, /* the thing asked for does not exist; no diagnostic was added */
    MW_PENDING,   /* what is asked for exists but is not worked out yet; ask again later */
    MW_IO         /* the operating system refused; errno tells why */
} mw_status;

/* An id that names nothing. */
#define MW_NONE UINT32_MAX

#define MW_MUST_USE                        __attribute__((warn_unused_result))
#define MW_PRINTF(format_at, arguments_at) __attribute__((format(printf, format_at, arguments_at)))

#endif
