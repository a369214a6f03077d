import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('inventory', '0001_suppliers_orders_ledger'),
    ]

    operations = [
        migrations.RemoveIndex(
            model_name='movement',
            name='inventory_movement_recent',
        ),
        migrations.AlterField(
            model_name='movement',
            name='source',
            field=models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='movements_out', to='inventory.place'),
        ),
        migrations.AlterField(
            model_name='movement',
            name='target',
            field=models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='movements_in', to='inventory.place'),
        ),
        migrations.AddIndex(
            model_name='movement',
            index=models.Index(fields=['source', '-recorded_at'], name='inventory_movement_out_last'),
        ),
        migrations.AddIndex(
            model_name='movement',
            index=models.Index(fields=['target', '-recorded_at'], name='inventory_movement_in_last'),
        ),
    ]
