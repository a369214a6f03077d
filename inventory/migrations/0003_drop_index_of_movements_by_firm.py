import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('inventory', '0002_index_movements_by_place_and_time'),
        ('projects', '0001_firms_sites_people_slabs'),
    ]

    operations = [
        migrations.AlterField(
            model_name='movement',
            name='firm',
            field=models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='projects.firm'),
        ),
    ]
