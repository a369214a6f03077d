"""The one place for tenancy and permission: who may see which rows and do which acts."""
