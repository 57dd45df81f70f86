// Door of advise/.
#pragma once

#include "advise/cap_time.h"
#include "advise/owned.h"
#include "advise/pace.h"
#include "advise/restitch.h"
#include "advise/verdict.h"
